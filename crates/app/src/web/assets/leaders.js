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

// The thing that the line of each note goes to.
const nearest = new Map();

function lines() {
  const all = [];
  const moves = document.documentElement.hasAttribute('data-busy');
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
    // While something moves a line stays on the thing it went to.
    const last = moves && !active && nearest.get(note.id);
    const ends = (last?.isConnected ? [last] : things).map(endAt);
    const off = ({ x, y }) => Math.hypot(x0 - x, y0 - y);
    ends.sort((a, b) => off(a) - off(b));
    nearest.set(note.id, ends[0].thing);
    // The line goes to the nearest; while the note is in hand a dot stands on each of the others.
    const dots = ends.slice(0, active ? ends.length : 1).map(({ x, y }) => ({ x: tenth(x + scrollX), y: tenth(y + scrollY) }));
    const [{ x, y }] = dots;
    const [left, top] = [tenth(x0 + scrollX), tenth(y0 + scrollY)];
    all.push({ d: `M${left} ${top}H${Math.max(x + 4, left - 26)}L${x} ${y}`, dots, active });
  }
  return all;
}

// Places in a block, in shares of it, where a line may end without hiding its name; the first on which
// nothing lies is taken, and kept while something moves.
const PLACES = [[0.72, 0.25], [0.88, 0.6], [0.72, 0.85], [0.12, 0.6], [0.28, 0.25]];
const places = new WeakMap();

function placeIn(block, box) {
  const moves = document.documentElement.hasAttribute('data-busy');
  if (moves && places.has(block)) return places.get(block);
  const at = ([x, y]) => document.elementFromPoint(box.left + x * box.width, box.top + y * box.height);
  const place = PLACES.find((share) => block.contains(at(share))) ?? PLACES[0];
  places.set(block, place);
  return place;
}

// Where a line ends: on the stud of a post, on bare ground of a block, else by the ring of a lead.
function endAt(thing) {
  const stud = thing.dataset.post && thing.querySelector('circle')?.getBoundingClientRect();
  if (stud) return { thing, x: stud.left + stud.width / 2, y: stud.top + stud.height / 2 };
  const box = thing.getBoundingClientRect();
  const [x, y] = thing.dataset.block ? placeIn(thing, box) : PLACES[0];
  return { thing, x: box.left + box.width * x, y: box.top + box.height * y };
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
