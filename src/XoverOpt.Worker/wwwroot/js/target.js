// Draws the target of a new job while it is edited, from the fields of the form or from the text of a job.
import { Chart } from './chart.js';
import { DASHES } from './palette.js';
import './drop.js';

const host = document.querySelector('[data-target-plot]');
const text = document.querySelector('[data-job-text]');
const hz = Array.from({ length: 241 }, (_, k) => 20 * 2 ** (k / 24)).filter((f) => f <= 20001);
const said = Object.assign(document.createElement('p'), { className: 'hint' });
said.setAttribute('role', 'status');
let wanted = null;
let chart = null;

const number = (words) => (words.trim() === '' ? NaN : Number(words.trim().replace('−', '-')));
const field = (id) => document.getElementById(id)?.value ?? '';

// What stands in the form.
function ofForm() {
  const points = [];
  const odd = [];
  field('points').split('\n').forEach((line, k) => {
    if (line.trim() === '') return;
    const cells = line.trim().split(/[\s,;]+/);
    const [at, db] = cells.map(number);
    if (cells.length !== 2 || !(at > 0) || !Number.isFinite(db)) odd.push(`line ${k + 1} is not a frequency and a level`);
    else if (points.length > 0 && at <= points[points.length - 1].hz) odd.push(`line ${k + 1} does not rise in frequency`);
    else points.push({ hz: at, db });
  });
  return { points, odd, low: number(field('bandLow')), high: number(field('bandHigh')), tolerance: number(field('tolerance')) };
}

// What stands in the text of a job; what leaves out a value gets the usual one.
function ofText() {
  if (text.value.trim() === '') return { points: [], odd: [] };
  try {
    const target = JSON.parse(text.value).target ?? {};
    const points = (target.points ?? []).filter((point) => point?.hz > 0 && Number.isFinite(point?.db));
    return { points, odd: [], low: target.bandHz?.[0] ?? 20, high: target.bandHz?.[1] ?? 16000, tolerance: target.toleranceDb ?? 2.5 };
  } catch (failure) {
    return { points: [], odd: [`the text is not JSON yet: ${failure.message}`] };
  }
}

// The curve through the points as the worker draws it: monotone cubics on log frequency (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
// Comput. 5 (1984) 300–304), level beyond the ends.
export function curveThrough(points) {
  const x = points.map((point) => Math.log2(point.hz)), y = points.map((point) => point.db), n = x.length;
  if (n === 0) return () => null;
  if (n === 1) return () => y[0];
  const h = x.slice(1).map((value, k) => value - x[k]), d = h.map((step, k) => (y[k + 1] - y[k]) / step);
  const m = x.map((_, k) => {
    if (n === 2) return d[0];
    if (k === 0 || k === n - 1) {
      const [a, b, s, t] = k === 0 ? [h[0], h[1], d[0], d[1]] : [h[n - 2], h[n - 3], d[n - 2], d[n - 3]];
      const end = ((2 * a + b) * s - a * t) / (a + b);
      if (Math.sign(end) !== Math.sign(s)) return 0;
      return Math.sign(s) !== Math.sign(t) && Math.abs(end) > 3 * Math.abs(s) ? 3 * s : end;
    }
    if (d[k - 1] * d[k] <= 0) return 0;
    const v = 2 * h[k] + h[k - 1], w = h[k] + 2 * h[k - 1];
    return (v + w) / (v / d[k - 1] + w / d[k]);
  });
  return (f) => {
    const u = Math.log2(f);
    if (u <= x[0]) return y[0];
    if (u >= x[n - 1]) return y[n - 1];
    let k = 0;
    while (x[k + 1] < u) k += 1;
    const t = (u - x[k]) / h[k];
    return (1 + 2 * t) * (1 - t) ** 2 * y[k] + t * (1 - t) ** 2 * h[k] * m[k] + t * t * (3 - 2 * t) * y[k + 1] + t * t * (t - 1) * h[k] * m[k + 1];
  };
}

function look() {
  wanted = text ? ofText() : ofForm();
  const { points, odd, low, high } = wanted;
  said.textContent = odd.length > 0 ? `${odd.slice(0, 3).join('; ')}.` : points.length === 0 ? 'No target yet.' : `${points.length} points, drawn as they are edited; the band from ${low} to ${high} Hz counts.`;
  if (points.length === 0) return;
  if (chart) chart.draw();
  else {
    chart = new Chart(host, {
      key: 'target', title: 'Target', subject: 'new job', fileName: 'target', unit: 'level, dB', short: 'dB', hz, leastSpan: 10, height: 300,
      make: (c) => {
        const curve = curveThrough(wanted.points);
        const inside = hz.map((f) => (f >= wanted.low * 0.999 && f <= wanted.high * 1.001 ? curve(f) : null));
        const tolerance = Number.isFinite(wanted.tolerance) ? wanted.tolerance : 0;
        return {
          series: [
            { name: 'tolerance', nameless: true, values: inside.map((v) => (v == null ? null : v + tolerance)), stroke: 'transparent', area: c.band, width: 0 },
            { name: 'tolerance low', with: 'tolerance', bare: true, nameless: true, values: inside.map((v) => (v == null ? null : v - tolerance)), stroke: 'transparent', width: 0 },
            { name: 'target', values: inside, stroke: c.target, dash: DASHES.target, width: 2 },
          ],
          bands: [{ high: 'tolerance', low: 'tolerance low', fill: c.band }],
          marks: wanted.points.map((point) => ({ hz: point.hz, y: point.db, stroke: c.ink, name: '' })),
        };
      },
    });
  }
}

if (host) {
  host.append(said);
  look();
  document.querySelector('form[action^="/new"]').addEventListener('input', look);
  document.addEventListener('taken', look);
}
