// The charts of a build from its curves as the worker reckons them.
import { Chart } from './chart.js';
import { DASHES } from './palette.js';

// The same curves as the worker draws them for paper.
const DRAWINGS = { response: 'response', phase: 'phase', excess: 'phase-figure', arrival: 'arrival', delay: 'group-delay', summing: 'summing-loss', impedance: 'impedance', loudest: 'peak-level' };

const flat = (hz, value) => hz.map(() => value);
const shifted = (values, by) => values.map((value) => (value == null ? null : value + by));

// Between the frequencies of a coarser list, straight on log frequency.
export function onto(hz, from, values) {
  let at = 0;
  return hz.map((f) => {
    if (f < from[0] * 0.999 || f > from[from.length - 1] * 1.001) return null;
    while (at < from.length - 2 && from[at + 1] < f) at += 1;
    const t = Math.min(Math.max(Math.log(f / from[at]) / Math.log(from[at + 1] / from[at]), 0), 1);
    return values[at] == null || values[at + 1] == null ? null : (1 - t) * values[at] + t * values[at + 1];
  });
}

export function charts(host, curves, { subject, file, svg, fan }) {
  const { hz } = curves;
  const way = (c, k, values) => ({ name: `${curves.ways[k].name}${curves.ways[k].leadsTurned ? ' ⟲' : ''}`, values, stroke: c.ways[k % c.ways.length], dash: DASHES[`way${k % 4}`], width: 1.4 });
  const named = (key) => ({ key, subject, fileName: `${file}-${key}`, svg: DRAWINGS[key] && svg?.(DRAWINGS[key]), hz });
  const made = [];
  const add = (spec) => { made.push(new Chart(host, spec)); return made[made.length - 1]; };

  const level = add({
    ...named('response'), title: 'Response against the target', note: `at ${curves.driveMillivolt} mV behind ${curves.sourceOhm} Ω; the band is ±${curves.toleranceDb} dB`,
    unit: 'SPL at the eardrum, dB re 20 µPa', short: 'dB', wide: true, height: 340, deepest: 60, leastSpan: 20,
    make: (c) => {
      const series = [
        { name: 'tolerance', short: '', nameless: true, values: shifted(curves.targetDb, curves.toleranceDb), stroke: 'transparent', area: c.band, width: 0 },
        { name: 'tolerance low', with: 'tolerance', bare: true, nameless: true, values: shifted(curves.targetDb, -curves.toleranceDb), stroke: 'transparent', width: 0 },
        { name: 'target', values: curves.targetDb, stroke: c.target, dash: DASHES.target, width: 2 },
        ...curves.ways.map((one, k) => way(c, k, one.levelDb)),
        { name: 'whole', values: curves.levelDb, stroke: c.ink, width: 2.4 },
      ];
      const bands = [{ high: 'tolerance', low: 'tolerance low', fill: c.band }];
      const drawn = fan?.();
      if (drawn) {
        series.push(
          { name: 'built units', nameless: true, values: onto(hz, drawn.hz, drawn.highDb), stroke: c.fanLine, width: 0.8, area: c.fan },
          { name: 'built units low', with: 'built units', bare: true, nameless: true, values: onto(hz, drawn.hz, drawn.lowDb), stroke: c.fanLine, width: 0.8 });
        bands.push({ high: 'built units', low: 'built units low', fill: c.fan });
      }
      return { series, bands };
    },
  });
  add({
    ...named('phase'), title: 'Phase', note: 'pure delay removed', unit: 'phase, °', short: '°', leastSpan: 40,
    make: (c) => ({ series: [
      { name: 'phase', values: curves.phaseDeg, stroke: c.ink, width: 2 },
      { name: 'minimum phase', short: 'minimum', values: curves.minimumDeg, stroke: c.ways[0], dash: DASHES.way0 },
    ] }),
  });
  add({
    ...named('excess'), title: curves.phaseKind === 'excess' ? 'Excess phase' : 'Phase without delay', note: `the limit is ±${curves.phaseLimitDeg}°`, unit: `${curves.phaseKind === 'excess' ? 'excess ' : ''}phase, °`, short: '°', decimals: 2, leastSpan: 2.2 * curves.phaseLimitDeg,
    make: (c) => ({ series: [
      { name: 'limit', values: curves.deviationDeg.map((v) => (v == null ? null : curves.phaseLimitDeg)), stroke: c.limit, dash: DASHES.limit },
      { name: 'limit low', with: 'limit', bare: true, nameless: true, values: curves.deviationDeg.map((v) => (v == null ? null : -curves.phaseLimitDeg)), stroke: c.limit, dash: DASHES.limit },
      { name: curves.phaseKind === 'excess' ? 'excess phase' : 'phase', short: curves.phaseKind === 'excess' ? 'excess' : 'phase', values: curves.deviationDeg, stroke: c.ink, width: 2 },
    ] }),
  });
  add({
    ...named('arrival'), title: 'Arrival', note: `delay beyond each way's own minimum phase, within 10 dB of the whole; at most ${curves.arrivalLimitUs} µs apart`, unit: 'delay, µs', short: 'µs', leastSpan: 2 * curves.arrivalLimitUs,
    make: (c) => ({ series: curves.ways.map((one, k) => ({ ...way(c, k, one.delayUs), width: 2 })) }),
  });
  // A share that is 30 dB down is of no consequence, and its delay runs off the chart.
  const heard = (k) => curves.ways[k].groupDelayMs.map((value, i) => (curves.levelDb[i] - curves.ways[k].levelDb[i] > 30 ? null : value));
  add({
    ...named('delay'), title: 'Group delay', note: 'ways where their share is within 30 dB of the whole', unit: 'group delay, ms', short: 'ms', decimals: 3, leastSpan: 0.1,
    make: (c) => ({ series: [...curves.ways.map((_, k) => way(c, k, heard(k))), { name: 'whole', values: curves.groupDelayMs, stroke: c.ink, width: 2 }] }),
  });
  add({
    ...named('summing'), title: 'Summing loss', note: 'what the ways lose against each other; 0 dB adds up fully', unit: 'summing loss, dB', short: 'dB', decimals: 2, leastSpan: 3,
    make: (c) => ({ series: [{ name: 'loss', values: curves.summingLossDb, stroke: c.ink, width: 2 }] }),
  });
  add({
    ...named('impedance'), title: 'Impedance', note: curves.minImpedanceOhm ? `the job asks for at least ${curves.minImpedanceOhm} Ω` : '', unit: 'impedance, Ω', short: 'Ω', leastSpan: 10,
    make: (c) => ({ series: [
      { name: 'size', values: curves.impedanceOhm, stroke: c.ink, width: 2 },
      ...(curves.minImpedanceOhm ? [{ name: 'least', values: flat(hz, curves.minImpedanceOhm), stroke: c.limit, dash: DASHES.limit }] : []),
    ] }),
  });
  add({
    ...named('angle'), title: 'Angle of the impedance', unit: 'angle, °', short: '°', leastSpan: 30,
    make: (c) => ({ series: [{ name: 'angle', values: curves.impedanceDeg, stroke: c.ink, width: 2 }] }),
  });
  add({
    ...named('loudest'), title: 'Loudest', note: 'before the first receiver meets a limit; harmful to hearing within seconds', unit: 'SPL at the eardrum, dB re 20 µPa', short: 'dB', leastSpan: 20,
    make: (c) => ({
      series: [{ name: 'loudest', values: curves.loudestDb, stroke: c.ink, width: 2 }],
      marks: curves.peaks.map((peak) => ({ hz: peak.hz, y: peak.db, stroke: c.limit, name: `asked ${peak.db} dB` })),
    }),
  });
  return { all: made, level };
}
