// Lets a file be dropped on a form or chosen, and puts its text into the form's text field.
function into(form, file) {
  const field = form.querySelector('textarea');
  file.text().then((text) => {
    field.value = text;
    form.querySelector('input[type=file]').value = '';
    const said = form.querySelector('[data-taken]');
    if (said) said.textContent = `${file.name} was read.`;
    document.dispatchEvent(new CustomEvent('taken'));
  });
}

for (const area of document.querySelectorAll('[data-drop]')) {
  const form = area.closest('form');
  const said = Object.assign(document.createElement('span'), { className: 'hint' });
  said.dataset.taken = '';
  said.setAttribute('role', 'status');
  area.append(said);
  area.querySelector('input[type=file]').addEventListener('change', (event) => {
    if (event.target.files.length > 0) into(form, event.target.files[0]);
  });
  form.addEventListener('dragover', (event) => { event.preventDefault(); area.classList.add('over'); });
  form.addEventListener('dragleave', () => area.classList.remove('over'));
  form.addEventListener('drop', (event) => {
    event.preventDefault();
    area.classList.remove('over');
    if (event.dataTransfer.files.length > 0) into(form, event.dataTransfer.files[0]);
  });
}
