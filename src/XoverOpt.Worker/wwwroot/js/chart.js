// One chart over frequency: hover readout, zoom, show and hide, keyboard, PNG and CSV. Drawn by uPlot.
import uPlot from '../lib/uplot/uPlot.esm.js';
import { colours } from './palette.js';

const TICKS = [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000];
const FINE = [20, 30, 40, 50, 60, 70, 80, 90, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000, 9000, 10000, 20000];
const SVG = 'http://www.w3.org/2000/svg';
const together = uPlot.sync('frequency');

export function frequency(hz) {
  return hz >= 1000 ? `${Number((hz / 1000).toPrecision(3))} kHz` : `${Number(hz.toPrecision(3))} Hz`;
}

function tick(hz) {
  return hz >= 1000 ? `${hz / 1000}k` : `${hz}`;
}

function element(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) made.setAttribute(key, '');
    else if (value !== false && value != null) made.setAttribute(key, value);
  }
  made.append(...inside);
  return made;
}

function swatch(series) {
  const svg = document.createElementNS(SVG, 'svg');
  svg.setAttribute('class', 'swatch');
  svg.setAttribute('viewBox', '0 0 34 10');
  svg.setAttribute('aria-hidden', 'true');
  const line = document.createElementNS(SVG, series.area ? 'rect' : 'line');
  if (series.area) {
    for (const [key, value] of Object.entries({ x: 0, y: 1, width: 34, height: 8, fill: series.area })) line.setAttribute(key, value);
  } else {
    for (const [key, value] of Object.entries({ x1: 0, x2: 34, y1: 5, y2: 5, stroke: series.stroke, 'stroke-width': series.width ?? 1.6, 'stroke-dasharray': (series.dash ?? []).join(' ') })) {
      line.setAttribute(key, value);
    }
  }
  svg.append(line);
  return svg;
}

function save(name, blob) {
  const link = element('a', { href: URL.createObjectURL(blob), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

// Splits of a linear scale, always with room for their numbers.
function range(values, least) {
  const finite = values.filter((value) => value != null && Number.isFinite(value));
  if (finite.length === 0) return [-1, 1];
  let low = Math.min(...finite), high = Math.max(...finite);
  if (high - low < least) {
    const middle = (low + high) / 2;
    low = middle - least / 2;
    high = middle + least / 2;
  }
  const room = 0.06 * (high - low);
  return [low - room, high + room];
}

export class Chart {
  // spec: { key, title, unit, hz, height, make(colours) → { series: [{ name, values, stroke, dash, width, area, points, off, bare }], bands, marks }, y, fileName, svg }
  constructor(host, spec) {
    this.spec = spec;
    this.hidden = new Set();
    this.zoom = null;
    this.index = null;
    this.host = element('figure', { class: `chart ${spec.wide ? 'whole' : ''}`, id: `plot-${spec.key}` });
    this.caption = element('figcaption', {}, element('strong', {}, spec.title), spec.note ? element('span', {}, ` ${spec.note}`) : '');
    this.area = element('div', { class: 'area', tabindex: '0', role: 'application', 'aria-roledescription': 'chart', 'aria-label': `${spec.title}, ${spec.unit} over frequency. Arrow keys read along the curves, plus and minus zoom, 0 shows all.` });
    this.readout = element('p', { class: 'readout', 'aria-live': 'polite' });
    this.keys = element('div', { class: 'keys', role: 'group', 'aria-label': `Curves of ${spec.title}` });
    this.host.append(this.caption, this.area, this.readout, this.keys, this.buttons());
    host.append(this.host);
    this.draw();
    this.area.addEventListener('keydown', (event) => this.key(event));
    new ResizeObserver(() => {
      const width = this.width();
      if (this.plot && Math.abs(width - this.plot.width) > 1) this.plot.setSize({ width, height: this.spec.height ?? 260 });
    }).observe(this.host);
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.draw());
  }

  width() {
    return Math.max(240, Math.floor(this.area.clientWidth));
  }

  buttons() {
    const make = (words, label, act) => {
      const button = element('button', { type: 'button', 'aria-label': `${label}: ${this.spec.title}` }, words);
      button.addEventListener('click', act);
      return button;
    };
    const row = element('div', { class: 'chart-tools', role: 'group', 'aria-label': `Tools for ${this.spec.title}` },
      make('+', 'Zoom in', () => this.zoomBy(0.5)), make('−', 'Zoom out', () => this.zoomBy(2)), make('All', 'Show all', () => this.showAll()));
    if (this.spec.svg) row.append(element('a', { href: this.spec.svg, download: `${this.spec.fileName}.svg` }, 'SVG'));
    row.append(make('PNG', 'Save as PNG', () => this.png()), make('CSV', 'Save as CSV', () => save(`${this.spec.fileName}.csv`, new Blob([this.csv()], { type: 'text/csv' }))));
    return row;
  }

  draw() {
    const c = colours();
    const { series, bands = [], marks = [] } = this.spec.make(c);
    this.series = series;
    this.marks = marks;
    this.keys.replaceChildren();
    series.forEach((one, k) => {
      if (one.bare) return;
      if (one.off && !this.touched) this.hidden.add(one.name);
      const box = element('input', { type: 'checkbox', checked: !this.hidden.has(one.name) });
      box.addEventListener('change', () => this.toggle(one.name, box.checked));
      const value = element('span', { class: 'value' });
      one.value = value;
      this.keys.append(element('label', {}, box, swatch(one), element('span', {}, one.name), value));
    });
    this.touched = true;
    const shown = (one) => !this.hidden.has(one.with ?? one.name);
    const axis = (more) => ({
      stroke: c.soft, font: '12px system-ui, sans-serif', labelFont: '12px system-ui, sans-serif', labelSize: 16, grid: { stroke: c.rule, width: 1 }, ticks: { stroke: c.rule, size: 4 }, ...more,
    });
    const options = {
      width: this.width(),
      height: this.spec.height ?? 260,
      pxAlign: false,
      padding: [10, this.spec.labels === false ? 12 : 64, 0, 0],
      legend: { show: false },
      cursor: { sync: { key: together.key, scales: ['x', null] }, drag: { x: true, y: false }, points: { size: 6 }, y: false },
      scales: {
        x: { time: false, distr: 3, range: (_, low, high) => (this.zoom ? this.zoom : [this.spec.low ?? 20, this.spec.high ?? 20000]) },
        y: { range: () => this.yRange() },
      },
      axes: [
        axis({ splits: (_, __, low, high) => this.splits(low, high), values: (_, at) => at.map((hz) => (this.named(hz, at) ? tick(hz) : '')), label: 'frequency, Hz', size: 30, filter: (_, at) => at }),
        axis({ label: this.spec.unit, size: 46, values: (_, at) => at.map((value) => `${Number(value.toPrecision(6))}`.replace('-', '−')) }),
      ],
      series: [{}, ...series.map((one) => ({
        label: one.name, stroke: one.stroke, dash: one.dash, width: one.width ?? 1.6, show: shown(one), spanGaps: false, points: { show: !!one.points, size: 7, stroke: one.stroke, fill: c.paper },
        paths: one.points ? () => null : undefined,
      }))],
      bands: bands.map(({ high, low, fill }) => ({ series: [1 + series.findIndex((one) => one.name === high), 1 + series.findIndex((one) => one.name === low)], fill })),
      hooks: {
        setCursor: [(plot) => this.read(plot.cursor.idx)],
        setSelect: [(plot) => {
          if (plot.select.width > 8) {
            this.zoom = [plot.posToVal(plot.select.left, 'x'), plot.posToVal(plot.select.left + plot.select.width, 'x')];
            plot.setSelect({ left: 0, width: 0, top: 0, height: 0 }, false);
            this.rescale();
          }
        }],
        draw: [(plot) => this.label(plot, c)],
      },
    };
    this.plot?.destroy();
    this.plot = new uPlot(options, [this.spec.hz, ...series.map((one) => one.values)], this.area);
    this.plot.over.addEventListener('dblclick', () => this.showAll());
    this.read(null);
  }

  splits(low, high) {
    const wide = high / low > 30;
    const at = (wide ? TICKS : FINE).filter((hz) => hz >= low * 0.999 && hz <= high * 1.001);
    if (at.length >= 3) return at;
    const step = 10 ** Math.floor(Math.log10((high - low) / 3));
    const by = [1, 2, 5, 10].map((k) => k * step).find((s) => (high - low) / s <= 6);
    const more = [];
    for (let hz = Math.ceil(low / by) * by; hz <= high; hz += by) more.push(Number(hz.toPrecision(6)));
    return more;
  }

  // On a narrow screen only every second number has room.
  named(hz, all) {
    if (this.plot && this.plot.width >= 420) return all.length < 14 || TICKS.includes(hz);
    return all.length < 6 || [20, 100, 500, 1000, 2000, 5000, 20000].includes(hz) && (all.length < 8 || hz !== 2000);
  }

  yRange() {
    if (this.spec.y) return this.spec.y;
    const [low, high] = this.zoom ?? [this.spec.low ?? 20, this.spec.high ?? 20000];
    const values = [];
    for (const one of this.series) {
      if (this.hidden.has(one.with ?? one.name) || one.unscaled) continue;
      this.spec.hz.forEach((hz, k) => { if (hz >= low && hz <= high) values.push(one.values[k]); });
    }
    const found = range(values, this.spec.leastSpan ?? 1);
    return this.spec.deepest != null ? [Math.max(found[0], found[1] - this.spec.deepest), found[1]] : found;
  }

  rescale() {
    this.plot.batch(() => {
      this.plot.setScale('x', { min: this.zoom?.[0] ?? this.spec.low ?? 20, max: this.zoom?.[1] ?? this.spec.high ?? 20000 });
    });
    this.plot.redraw(true, true);
  }

  zoomBy(factor) {
    const low = Math.log(this.zoom?.[0] ?? this.spec.low ?? 20), high = Math.log(this.zoom?.[1] ?? this.spec.high ?? 20000);
    const middle = this.index != null && Math.log(this.spec.hz[this.index]) > low && Math.log(this.spec.hz[this.index]) < high ? Math.log(this.spec.hz[this.index]) : (low + high) / 2;
    const from = Math.max(Math.log(this.spec.low ?? 20), middle - (middle - low) * factor), to = Math.min(Math.log(this.spec.high ?? 20000), middle + (high - middle) * factor);
    this.zoom = to - from < 0.2 ? this.zoom : [Math.exp(from), Math.exp(to)];
    if (factor > 1 && from <= Math.log((this.spec.low ?? 20) * 1.001) && to >= Math.log((this.spec.high ?? 20000) * 0.999)) this.zoom = null;
    this.rescale();
  }

  showAll() {
    this.zoom = null;
    this.rescale();
  }

  toggle(name, on) {
    if (on) this.hidden.delete(name);
    else this.hidden.add(name);
    this.series.forEach((one, k) => {
      if ((one.with ?? one.name) === name) this.plot.setSeries(k + 1, { show: on });
    });
    this.rescale();
  }

  key(event) {
    const last = this.spec.hz.length - 1;
    const step = event.shiftKey ? 8 : 1;
    const start = this.index ?? this.spec.hz.findIndex((hz) => hz >= 1000);
    const moves = { ArrowRight: Math.min(start + step, last), ArrowLeft: Math.max(start - step, 0), Home: this.spec.hz.findIndex((hz) => hz >= 20), End: last };
    if (event.key in moves) {
      this.index = moves[event.key];
      this.plot.setCursor({ left: this.plot.valToPos(this.spec.hz[this.index], 'x'), top: 20 });
    } else if (event.key === '+' || event.key === '=') this.zoomBy(0.5);
    else if (event.key === '-') this.zoomBy(2);
    else if (event.key === '0') this.showAll();
    else return;
    event.preventDefault();
  }

  read(index) {
    if (index == null || this.spec.hz[index] == null) {
      this.readout.textContent = '';
      this.series.forEach((one) => { if (one.value) one.value.textContent = ''; });
      return;
    }
    this.index = index;
    const words = [frequency(this.spec.hz[index])];
    for (const one of this.series) {
      if (!one.value) continue;
      const value = one.values[index];
      const text = value == null ? '' : `${value.toFixed(this.spec.decimals ?? 1).replace('-', '−')} ${this.spec.short ?? this.spec.unit}`;
      one.value.textContent = text;
      if (text && !this.hidden.has(one.name)) words.push(`${one.name} ${text}`);
    }
    this.readout.textContent = words.join(' · ');
  }

  // Names at the right end of the lines, moved apart where they would meet.
  label(plot, c) {
    const ctx = plot.ctx, ratio = devicePixelRatio;
    ctx.save();
    ctx.font = `${11 * ratio}px system-ui, sans-serif`;
    ctx.textBaseline = 'middle';
    ctx.setLineDash([]);
    for (const mark of this.marks) {
      const x = plot.valToPos(mark.hz, 'x', true), y = plot.valToPos(mark.y, 'y', true);
      if (x < plot.bbox.left || x > plot.bbox.left + plot.bbox.width || y < plot.bbox.top || y > plot.bbox.top + plot.bbox.height) continue;
      ctx.strokeStyle = mark.stroke;
      ctx.lineWidth = 1.6 * ratio;
      ctx.beginPath();
      const r = 5 * ratio;
      ctx.moveTo(x - r, y - r); ctx.lineTo(x + r, y - r); ctx.lineTo(x, y + r * 0.8); ctx.closePath();
      ctx.stroke();
      ctx.fillStyle = c.ink;
      ctx.textAlign = x > plot.bbox.left + plot.bbox.width * 0.7 ? 'right' : 'left';
      ctx.fillText(mark.name, x + (ctx.textAlign === 'left' ? 9 : -9) * ratio, y - 9 * ratio);
    }
    ctx.textAlign = 'left';
    if (this.spec.labels !== false) {
      const ends = [];
      const right = plot.scales.x.max;
      this.series.forEach((one, k) => {
        if (one.nameless || one.points || this.hidden.has(one.with ?? one.name)) return;
        let at = -1;
        this.spec.hz.forEach((hz, i) => { if (hz <= right && hz >= plot.scales.x.min && one.values[i] != null) at = i; });
        if (at < 0) return;
        const y = Math.min(Math.max(plot.valToPos(one.values[at], 'y', true), plot.bbox.top + 6 * ratio), plot.bbox.top + plot.bbox.height - 6 * ratio);
        ends.push({ name: one.short ?? one.name, y, stroke: one.stroke });
      });
      ends.sort((a, b) => a.y - b.y);
      const gap = 13 * ratio;
      for (let k = 1; k < ends.length; k++) ends[k].y = Math.max(ends[k].y, ends[k - 1].y + gap);
      const floor = plot.bbox.top + plot.bbox.height - 6 * ratio;
      for (let k = ends.length - 1; k >= 0; k--) {
        const below = k + 1 < ends.length ? ends[k + 1].y - gap : floor;
        ends[k].y = Math.min(ends[k].y, below);
      }
      const room = 60 * ratio;
      for (const end of ends) {
        ctx.fillStyle = end.stroke;
        let name = end.name;
        while (ctx.measureText(name).width > room && name.length > 2) name = `${name.slice(0, -2)}…`;
        ctx.fillText(name, plot.bbox.left + plot.bbox.width + 4 * ratio, end.y);
      }
    }
    ctx.restore();
  }

  csv() {
    const cell = (text) => `"${text.replaceAll('"', "'")}"`;
    const shown = this.series.filter((one) => !one.bare || one.inCsv);
    const lines = [`"hz",${shown.map((one) => cell(`${one.name}, ${this.spec.unit}`)).join(',')}`];
    this.spec.hz.forEach((hz, k) => lines.push([hz, ...shown.map((one) => one.values[k] ?? '')].join(',')));
    return `${lines.join('\n')}\n`;
  }

  png() {
    const from = this.plot.ctx.canvas, ratio = devicePixelRatio, c = colours(), head = 26 * ratio;
    const canvas = element('canvas', { width: from.width, height: from.height + head });
    const ctx = canvas.getContext('2d');
    ctx.fillStyle = c.paper;
    ctx.fillRect(0, 0, canvas.width, canvas.height);
    ctx.fillStyle = c.ink;
    ctx.font = `600 ${13 * ratio}px system-ui, sans-serif`;
    ctx.fillText(`${this.spec.title} · ${this.spec.subject}`, 8 * ratio, 18 * ratio);
    ctx.drawImage(from, 0, head);
    canvas.toBlob((blob) => save(`${this.spec.fileName}.png`, blob), 'image/png');
  }
}
