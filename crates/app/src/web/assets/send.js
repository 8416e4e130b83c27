// Sends wishes one at a time and places the pieces that come back.
//
// One request is under way at most. A wish that only tries something gives way to a newer one; steps of
// the same block made by keys are added up while they wait. An answer older than what is on the sheet is
// dropped.

import { fieldsAsWritten, placeIn, placeParts } from '/place.js';

const waiting = [];
// The sheet that is shown, as the server counts them: it sends what has changed since.
let sheet = Number(document.documentElement.dataset.sheet) || null;
let seq = 0;
let shown = 0;
let flying = false;
let after = () => {};
let resting = 0;

// A hand that rests so long is answered in full: what is told while it moves is told at a glance.
const REST_MS = 150;

// Calls back whenever pieces were placed.
export const whenPlaced = (callback) => {
  after = callback;
};

export function send(intent, { live = false, rest = false } = {}) {
  clearTimeout(resting);
  const last = waiting.at(-1);
  if (last?.live) waiting.pop();
  const step = (wish) => wish?.do === 'move' && wish.fine && wish.commit;
  const before = waiting.at(-1)?.intent;
  if (step(intent) && step(before) && before.block === intent.block) {
    before.dx += intent.dx;
    before.dy += intent.dy;
  } else {
    waiting.push({ intent: { ...intent }, live, rest });
  }
  next();
}

// Whether the sheet is behind what was wished for, for those who wait on it.
function tellBusy() {
  document.documentElement.toggleAttribute('data-busy', flying || waiting.length > 0);
}

function next() {
  tellBusy();
  if (flying || waiting.length === 0) return;
  flying = true;
  const { intent, live, rest } = waiting.shift();
  seq += 1;
  // A plain request: its answer comes in one piece and in one task, where `fetch` takes several.
  const request = new XMLHttpRequest();
  request.open('POST', '/do');
  request.setRequestHeader('content-type', 'application/json');
  request.onload = () => {
    if (request.status === 200) place(JSON.parse(request.responseText), live);
    else say(request.responseText, true);
  };
  request.onerror = () =>
    say('The program behind this page has stopped. Start `bankwright open` again: unsaved work is kept.', true);
  request.onloadend = () => {
    flying = false;
    if (intent.commit === false && !rest && waiting.length === 0) {
      resting = setTimeout(() => send(intent, { live, rest: true }), REST_MS);
    }
    next();
  };
  request.send(JSON.stringify({ seq, on: sheet, window: room(), rest, intent }));
}

// Asks and waits for the answer, for the one moment that waits for nobody: before the sheet is printed.
export function placeNow(intent, window) {
  seq += 1;
  const request = new XMLHttpRequest();
  request.open('POST', '/do', false);
  request.setRequestHeader('content-type', 'application/json');
  try {
    request.send(JSON.stringify({ seq, window, intent }));
  } catch {
    return false;
  }
  if (request.status !== 200) return false;
  place(JSON.parse(request.responseText));
  return true;
}

// How wide the plan is. The browser tells of it when it changes: to ask with every wish would have the
// sheet laid out before its time.
let wide = null;

function width() {
  if (wide !== null) return wide;
  const plan = document.getElementById('plan');
  new ResizeObserver(() => (wide = plan.clientWidth)).observe(plan);
  return (wide = plan.clientWidth);
}

// The room for the plan in the window, in pixels.
function room() {
  const within = (value) => Math.min(6000, Math.max(200, Math.round(value)));
  return [within(width()), within(window.innerHeight * 0.8)];
}

function place(answer, live = false) {
  if (answer.seq < shown) return;
  shown = answer.seq;
  const focus = keyOf(document.activeElement);
  sheet = answer.sheet;
  const [parts, pieces] = [answer.nodes.filter((n) => n.part), answer.nodes.filter((n) => !n.part)];
  for (const { id, html } of pieces) placeIn(document.getElementById(id), html);
  placeParts(parts);
  // Nobody is at a field while something is pulled about.
  if (!live) fieldsAsWritten();
  if (focus && !document.activeElement?.matches(focus)) {
    document.querySelector(focus)?.focus({ preventScroll: true });
  }
  if (answer.say) say(answer.say, answer.refused);
  after();
}

// How to find an element again after its piece was placed anew.
export function keyOf(element) {
  for (const name of ['key', 'block', 'post', 'lead', 'device', 'slide']) {
    const value = element?.dataset?.[name];
    if (value !== undefined) return `[data-${name}="${CSS.escape(value)}"]`;
  }
  return null;
}

// What was refused stays until the next word; what was done may be gone after a while.
const READ_MS = 8000;
let told = 0;

export function say(words, refused = false) {
  const place = document.getElementById('say');
  clearTimeout(told);
  if (!refused && words) told = setTimeout(() => say(''), READ_MS);
  place.textContent = words.trim();
  place.classList.toggle('refused', refused && Boolean(words));
}
