// Lines from the notes in the margin to the things they speak of, and the line of a lead end in hand.
// They lie over the sheet and are laid again whenever something on it moves.

const WIDE = matchMedia('(min-width: 60em)');
const SVG = 'http://www.w3.org/2000/svg';

function layer() {
  return document.getElementById('leaders');
}

// The things on the plan that a note speaks of. Those found before are looked at first.
const found = new Map();

function thingsOf({ dataset: { at } }) {
  const known = found.get(at);
  if (known?.length && known.every((thing) => thing.isConnected)) return known;
  const things = JSON.parse(at).map(([kind, name]) =>
    document.querySelector(`#plan [data-${kind}="${CSS.escape(name)}"]`));
  found.set(at, things.filter(Boolean));
  return found.get(at);
}

// Sets what differs only: every change of this layer is painted over the whole sheet.
function put(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (element.getAttribute(name) !== String(value)) element.setAttribute(name, value);
  }
}

let asked = 0;

// Before the next frame, once.
export function laySoon() {
  asked ||= requestAnimationFrame(layLeaders);
}

function layLeaders() {
  asked = 0;
  const svg = layer();
  const sheet = document.querySelector('.sheet').getBoundingClientRect();
  const wide = WIDE.matches;
  put(svg, {
    width: wide ? Math.round(sheet.right + scrollX) : 0,
    height: wide ? Math.round(sheet.bottom + scrollY) : 0,
  });
  const all = wide ? lines() : [];
  const there = [...svg.querySelectorAll('.leader')];
  all.forEach(({ d, dots, active }, at) => {
    const group = there[at] ?? svg.appendChild(leader());
    const [path, ...old] = group.children;
    const end = active ? ' active' : '';
    put(path, { d, class: `line${end}` });
    dots.forEach(({ x, y }, n) => {
      const dot = old[n] ?? group.appendChild(document.createElementNS(SVG, 'circle'));
      put(dot, { cx: x, cy: y, r: active ? 4 : 2.5, class: `dot${end}` });
    });
    for (const dot of old.slice(dots.length)) dot.remove();
  });
  for (const old of there.slice(all.length)) old.remove();
}

function leader() {
  const group = document.createElementNS(SVG, 'g');
  group.setAttribute('class', 'leader');
  group.append(document.createElementNS(SVG, 'path'));
  return group;
}

function lines() {
  const all = [];
  const plan = document.getElementById('plan').getBoundingClientRect();
  const tenth = (value) => Math.round(value * 10) / 10;
  for (const note of document.querySelectorAll('.note[data-at]')) {
    const things = thingsOf(note);
    if (things.length === 0) continue;
    const active = note.matches(':hover, :focus-within');
    const box = note.getBoundingClientRect();
    // A note far below the plan has its line only while it is in hand.
    if (!active && box.top > plan.bottom) continue;
    const sign = note.querySelector('.sign').getBoundingClientRect();
    const [x0, y0] = [box.left - 4, sign.top + sign.height / 2];
    const ends = things.map(endAt);
    const off = ({ x, y }) => Math.hypot(x0 - x, y0 - y);
    ends.sort((a, b) => off(a) - off(b));
    // The line goes to the nearest; while the note is in hand a dot stands on each of the others.
    const dots = ends.slice(0, active ? ends.length : 1).map(({ x, y }) => ({ x: tenth(x + scrollX), y: tenth(y + scrollY) }));
    const [{ x, y }] = dots;
    const [left, top] = [tenth(x0 + scrollX), tenth(y0 + scrollY)];
    all.push({ d: `M${left} ${top}H${Math.max(x + 4, left - 26)}L${x} ${y}`, dots, active });
  }
  return all;
}

// Where a line ends: on the stud of a post, else on the ring of a lead, or in the right upper part of a
// block, where it hides no name.
function endAt(thing) {
  const stud = thing.dataset.post && thing.querySelector('circle')?.getBoundingClientRect();
  if (stud) return { x: stud.left + stud.width / 2, y: stud.top + stud.height / 2 };
  const box = thing.getBoundingClientRect();
  return { x: box.left + box.width * 0.72, y: box.top + Math.min(box.height * 0.25, 24) };
}

export function drawPull(x0, y0, x1, y1) {
  clearPull();
  const path = document.createElementNS(SVG, 'path');
  path.setAttribute('d', `M${x0 + scrollX} ${y0 + scrollY}L${x1 + scrollX} ${y1 + scrollY}`);
  path.setAttribute('class', 'pull');
  layer().append(path);
}

export function clearPull() {
  for (const old of layer().querySelectorAll('.pull')) old.remove();
}
