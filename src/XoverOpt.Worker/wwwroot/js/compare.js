// Draws the curves of several builds over each other.
import { Chart } from './chart.js';
import { DASHES } from './palette.js';

const host = document.querySelector('[data-comparison]');
const heads = [...document.querySelectorAll('[data-build]')];

async function get(address) {
  const answer = await fetch(address, { headers: { Accept: 'application/json' } });
  if (!answer.ok) throw new Error(answer.statusText);
  return answer.json();
}

if (host) {
  try {
    const builds = await Promise.all(heads.map(async (head) => ({ name: head.dataset.name, ...(await get(head.dataset.build)) })));
    const { hz } = builds[0];
    const styles = (c) => builds.map((_, k) => ({ stroke: [c.ink, ...c.ways][k], dash: [DASHES.whole, DASHES.way0, DASHES.way1, DASHES.way2][k] }));
    const draw = (key, title, unit, short, pick, more = {}) => new Chart(host, {
      key, title, unit, short, hz, subject: builds.map((build) => build.name).join(', '), fileName: `compare-${key}`, ...more,
      make: (c) => ({ series: [...builds.map((build, k) => ({ name: build.name, values: pick(build), width: 2, ...styles(c)[k] })), ...(more.also?.(c) ?? [])] }),
    });
    const drives = [...new Set(builds.map((build) => `${build.driveMillivolt} mV behind ${build.sourceOhm} Ω`))];
    draw('response', 'Response', 'SPL at the eardrum, dB re 20 µPa', 'dB', (build) => build.levelDb, {
      wide: true, height: 340, deepest: 60, leastSpan: 20, note: drives.length === 1 ? `at ${drives[0]}` : `each at its own job's drive: ${drives.join(', ')}`,
      also: (c) => [{ name: 'target of A', short: 'target', values: builds[0].targetDb, stroke: c.target, dash: DASHES.target, width: 1.6 }],
    });
    draw('error', 'Off the target', 'level less target, dB', 'dB', (build) => build.levelDb.map((db, k) => (build.targetDb[k] == null ? null : db - build.targetDb[k])), { decimals: 2, leastSpan: 4, note: 'each against its own job' });
    draw('excess', 'Phase held against the limit', 'phase, °', '°', (build) => build.deviationDeg, { decimals: 2, leastSpan: 10 });
    draw('delay', 'Group delay', 'group delay, ms', 'ms', (build) => build.groupDelayMs, { decimals: 3, leastSpan: 0.1 });
    draw('summing', 'Summing loss', 'summing loss, dB', 'dB', (build) => build.summingLossDb, { decimals: 2, leastSpan: 3 });
    draw('impedance', 'Impedance', 'impedance, Ω', 'Ω', (build) => build.impedanceOhm, { leastSpan: 10 });
    draw('loudest', 'Loudest', 'SPL at the eardrum, dB re 20 µPa', 'dB', (build) => build.loudestDb, { leastSpan: 20, note: 'before the first receiver meets a limit; harmful to hearing within seconds' });
    host.dataset.drawn = 'yes';
  } catch (failure) {
    host.append(Object.assign(document.createElement('p'), { className: 'note', textContent: `The curves could not be drawn: ${failure.message}` }));
  }
}
