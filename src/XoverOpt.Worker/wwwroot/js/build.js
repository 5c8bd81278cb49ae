// Draws the curves of one build, and on request the fan of built units.
import { charts } from './curves.js';

const host = document.querySelector('[data-curves]');
let fan = null;

async function get(address) {
  const answer = await fetch(address, { headers: { Accept: 'application/json' } });
  const body = await answer.json();
  if (!answer.ok) throw new Error(body.detail ?? answer.statusText);
  return body;
}

function fanButton(level) {
  const row = document.createElement('p');
  row.className = 'actions';
  const button = Object.assign(document.createElement('button'), { type: 'button', textContent: 'Draw the fan of built units' });
  const said = document.createElement('span');
  said.setAttribute('role', 'status');
  row.append(button, said);
  button.addEventListener('click', async () => {
    button.disabled = true;
    said.textContent = 'Drawing units from the spread of their parts …';
    try {
      fan = await get(host.dataset.fan);
      level.draw();
      const exact = fan.takenAsExact.length > 0 ? ` Taken as exact: ${fan.takenAsExact.join(', ')}.` : '';
      said.textContent = `${fan.units} units drawn; ${Math.round(100 * fan.coverage)} % of them lie within the fan at each frequency, ${(100 * fan.yield).toFixed(1)} ± ${(100 * fan.yieldError).toFixed(1)} % keep every limit that varies.${exact}`;
    } catch (failure) {
      said.textContent = `That did not work: ${failure.message}`;
      button.disabled = false;
    }
  });
  return row;
}

try {
  const curves = await get(host.dataset.curves);
  const drawn = charts(host, curves, { subject: host.dataset.name, file: host.dataset.name.replaceAll(/[^\p{L}\p{N}]+/gu, '-').toLowerCase(), svg: (name) => host.dataset.drawings.replace('*', name), fan: () => fan });
  drawn.level.host.append(fanButton(drawn.level));
  host.dataset.drawn = 'yes';
} catch (failure) {
  host.append(Object.assign(document.createElement('p'), { className: 'note', textContent: `The curves could not be drawn: ${failure.message}` }));
}
