// Keeps what a page says of open runs up to date by the worker's event streams, without a reload.
const STREAMS = 3; // A browser opens only some connections to one host; pages and pictures need some too.
const LOOK_AGAIN_MS = 3000;

const streams = new Map();
let refreshing = false;
let timer = 0;

function region() {
  return document.getElementById('live');
}

function count(value) {
  if (value >= 1e9) return `${(value / 1e9).toFixed(1)} G`;
  if (value >= 1e6) return `${(value / 1e6).toFixed(1)} M`;
  if (value >= 1e4) return `${(value / 1e3).toFixed(0)} k`;
  return value.toFixed(0);
}

function duration(seconds) {
  if (seconds == null) return '–';
  if (seconds >= 86400) return `${Math.floor(seconds / 86400)} d ${Math.floor((seconds % 86400) / 3600)} h`;
  if (seconds >= 3600) return `${Math.floor(seconds / 3600)} h ${String(Math.floor((seconds % 3600) / 60)).padStart(2, '0')} min`;
  if (seconds >= 60) return `${Math.floor(seconds / 60)} min ${String(Math.floor(seconds % 60)).padStart(2, '0')} s`;
  return `${seconds.toFixed(0)} s`;
}

function show(id, progress) {
  const row = document.querySelector(`[data-run="${CSS.escape(id)}"]`);
  if (!row) return;
  const set = (cell, text) => {
    const at = row.querySelector(`[data-cell="${cell}"]`);
    if (at && at.textContent !== text) at.textContent = text;
  };
  const bar = row.querySelector('[data-cell="bar"]');
  if (bar) bar.value = progress.fraction;
  set('percent', `${Math.floor(100 * progress.fraction)} %`);
  set('left', duration(progress.leftSeconds));
  set('phase', progress.phase);
  set('evaluations', count(progress.evaluations));
  set('layouts', count(progress.layoutsTried));
  if (progress.best?.cost != null) set('cost', progress.best.cost.toFixed(4));
  if (progress.best?.magnitudeRmsDb != null) set('rms', progress.best.magnitudeRmsDb.toFixed(2));
}

// What was there when the page was made comes again when a stream is opened; only what happened later is news.
function isNews(data) {
  return new Date(data.time) > new Date(region().dataset.now);
}

function follow(id) {
  const stream = new EventSource(`/api/jobs/${encodeURIComponent(id)}/events`);
  streams.set(id, stream);
  stream.addEventListener('progress', (event) => show(id, JSON.parse(event.data)));
  for (const kind of ['state', 'best', 'failure', 'takeover']) {
    stream.addEventListener(kind, (event) => {
      if (isNews(JSON.parse(event.data))) soon();
    });
  }
}

function soon() {
  clearTimeout(timer);
  timer = setTimeout(refresh, 150);
}

// Fetches the page again and puts its live part in place of the old one, keeping what is marked and where the keyboard is.
async function refresh() {
  if (refreshing) return;
  if (document.activeElement?.matches('input[type=search]') && region().contains(document.activeElement)) {
    // Not under the fingers of somebody who types.
    timer = setTimeout(refresh, LOOK_AGAIN_MS);
    return;
  }
  refreshing = true;
  try {
    const answer = await fetch(location.href, { headers: { Accept: 'text/html' }, cache: 'no-store' });
    if (!answer.ok || answer.redirected) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('live');
    if (!fresh) return;
    const old = region();
    const marked = [...old.querySelectorAll('input:checked')].map((box) => box.value);
    const at = [...old.querySelectorAll('a, button, input')].indexOf(document.activeElement);
    const scrolled = [...old.querySelectorAll('.wide')].map((box) => box.scrollLeft);
    old.replaceWith(document.adoptNode(fresh));
    for (const box of fresh.querySelectorAll('input[type=checkbox]')) box.checked = marked.includes(box.value);
    fresh.querySelectorAll('.wide').forEach((box, k) => { box.scrollLeft = scrolled[k] ?? 0; });
    document.dispatchEvent(new CustomEvent('refreshed'));
    if (at >= 0) [...fresh.querySelectorAll('a, button, input')][at]?.focus();
    begin();
  } catch {
    // The worker is away for the moment; the next look comes of itself.
  } finally {
    refreshing = false;
  }
}

function begin() {
  const open = [...document.querySelectorAll('[data-run]')].filter((row) => ['waiting', 'running', 'stopping'].includes(row.dataset.state));
  const working = open.filter((row) => row.dataset.state !== 'waiting').slice(0, STREAMS).map((row) => row.dataset.run);
  for (const [id, stream] of streams) {
    if (!working.includes(id)) {
      stream.close();
      streams.delete(id);
    }
  }
  for (const id of working) {
    if (!streams.has(id)) follow(id);
  }
  clearTimeout(timer);
  if (open.length > 0 && !document.hidden) timer = setTimeout(refresh, LOOK_AGAIN_MS);
}

document.addEventListener('visibilitychange', () => {
  if (!document.hidden) refresh();
});
window.addEventListener('pagehide', () => streams.forEach((stream) => stream.close()));
begin();
