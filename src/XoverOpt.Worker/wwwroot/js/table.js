// Sorts and filters tables that are whole without it.
const chosen = { column: -1, down: false, words: '', kept: false };

function value(row, column) {
  const text = row.cells[column].textContent.trim();
  const number = Number.parseFloat(text.replace('–', ''));
  return Number.isFinite(number) ? number : text;
}

function compare(a, b) {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  if (typeof a === 'number') return -1;
  if (typeof b === 'number') return 1;
  return a.localeCompare(b);
}

function apply(table) {
  const body = table.tBodies[0];
  const rows = [...body.rows];
  if (chosen.column >= 0) {
    rows.sort((a, b) => (chosen.down ? -1 : 1) * compare(value(a, chosen.column), value(b, chosen.column)));
    body.append(...rows);
  }
  [...table.tHead.rows[0].cells].forEach((head, column) => {
    if (column === chosen.column) head.setAttribute('aria-sort', chosen.down ? 'descending' : 'ascending');
    else head.removeAttribute('aria-sort');
  });
  let shown = 0;
  for (const row of rows) {
    row.hidden = (chosen.kept && row.dataset.keeps === 'no') || !row.textContent.toLowerCase().includes(chosen.words.toLowerCase());
    shown += row.hidden ? 0 : 1;
  }
  const said = document.querySelector('[data-said]');
  if (said) said.textContent = shown === rows.length ? `${rows.length} builds` : `${shown} of ${rows.length} builds`;
}

function dress(table) {
  [...table.tHead.rows[0].cells].forEach((head, column) => {
    if ('plain' in head.dataset || head.querySelector('button')) return;
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'sort';
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener('click', () => {
      chosen.down = chosen.column === column ? !chosen.down : false;
      chosen.column = column;
      apply(table);
    });
  });
  const tools = document.querySelector(`[data-tools="${table.id}"]`);
  if (tools && tools.hidden) {
    tools.hidden = false;
    const words = Object.assign(document.createElement('input'), { type: 'search', id: 'builds-with', value: chosen.words });
    const label = Object.assign(document.createElement('label'), { htmlFor: 'builds-with', textContent: 'Only builds with' });
    const kept = Object.assign(document.createElement('input'), { type: 'checkbox', id: 'builds-kept', checked: chosen.kept });
    const keptLabel = Object.assign(document.createElement('label'), { htmlFor: 'builds-kept', textContent: 'limits kept' });
    const said = document.createElement('span');
    said.dataset.said = '';
    said.setAttribute('role', 'status');
    words.placeholder = 'receiver, way …';
    words.addEventListener('input', () => { chosen.words = words.value; apply(table); });
    kept.addEventListener('change', () => { chosen.kept = kept.checked; apply(table); });
    // Return in the field of a filter is not meant to compare builds.
    words.addEventListener('keydown', (event) => { if (event.key === 'Enter') event.preventDefault(); });
    tools.append(label, words, kept, keptLabel, said);
  }
  apply(table);
}

function all() {
  document.querySelectorAll('table[data-sortable]').forEach(dress);
}

document.addEventListener('refreshed', all);
all();
