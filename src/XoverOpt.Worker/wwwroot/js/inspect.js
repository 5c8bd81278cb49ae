// Draws a measured unit against its limits.
import { Chart } from './chart.js';
import { onto } from './curves.js';
import { DASHES } from './palette.js';
import './drop.js';

const host = document.querySelector('[data-inspected]');
if (host) {
  const seen = JSON.parse(host.dataset.inspected);
  const hz = seen.hz.filter((f) => f >= 10 && f <= 25000);
  const measured = hz.map((f) => seen.measuredDb[seen.hz.indexOf(f)]);
  const limit = (values) => onto(hz, seen.limitHz, values);
  const [low, high, expected] = [seen.lowDb, seen.highDb, seen.expectedDb].map(limit);
  const outside = measured.map((db, k) => (low[k] != null && (db < low[k] || db > high[k]) ? db : null));
  new Chart(host, {
    key: 'unit', title: 'Measured against the limits', subject: 'unit', fileName: 'unit', unit: 'SPL at the eardrum, dB re 20 µPa', short: 'dB', wide: true, height: 320, hz, decimals: 2, leastSpan: 10, deepest: 60,
    make: (c) => ({
      series: [
        { name: 'limits', nameless: true, values: high, stroke: c.limit, area: c.band, width: 1 },
        { name: 'limits low', with: 'limits', bare: true, nameless: true, values: low, stroke: c.limit, width: 1 },
        { name: 'expected', values: expected, stroke: c.ways[0], dash: DASHES.way0 },
        { name: 'measured', values: measured, stroke: c.ink, width: 2 },
        { name: 'outside', values: outside, stroke: c.limit, points: true },
      ],
      bands: [{ high: 'limits', low: 'limits low', fill: c.band }],
    }),
  });
  host.dataset.drawn = 'yes';
}
