// Lines from the notes in the margin to the things they speak of, and the line of a lead end in hand.
// They lie over the sheet and are laid again whenever something on it moves.

const WIDE = matchMedia('(min-width: 60em)');
const SVG = 'http://www.w3.org/2000/svg';

function layer() {
  return document.getElementById('leaders');
}

// The element of a note's thing on the plan.
function thingOf(note) {
  const [kind, name] = (note.dataset.at ?? '').split('|');
  return name ? document.querySelector(`#plan [data-${kind}="${CSS.escape(name)}"]`) : null;
}

// Sets what differs only: every change of this layer is painted over the whole sheet.
function put(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (element.getAttribute(name) !== String(value)) element.setAttribute(name, value);
  }
}

export function layLeaders() {
  const svg = layer();
  const sheet = document.querySelector('.sheet').getBoundingClientRect();
  const wide = WIDE.matches;
  put(svg, {
    width: wide ? Math.round(sheet.right + scrollX) : 0,
    height: wide ? Math.round(sheet.bottom + scrollY) : 0,
  });
  const all = wide ? lines() : [];
  const there = [...svg.querySelectorAll('.leader')];
  all.forEach(({ d, x, y, active }, at) => {
    const group = there[at] ?? svg.appendChild(leader());
    const [path, dot] = group.children;
    const end = active ? ' active' : '';
    put(path, { d, class: `line${end}` });
    put(dot, { cx: x, cy: y, r: active ? 4 : 2.5, class: `dot${end}` });
  });
  for (const old of there.slice(all.length)) old.remove();
}

function leader() {
  const group = document.createElementNS(SVG, 'g');
  group.setAttribute('class', 'leader');
  group.append(document.createElementNS(SVG, 'path'), document.createElementNS(SVG, 'circle'));
  return group;
}

function lines() {
  const all = [];
  const plan = document.getElementById('plan').getBoundingClientRect();
  const tenth = (value) => Math.round(value * 10) / 10;
  for (const note of document.querySelectorAll('.note[data-at]')) {
    const thing = thingOf(note);
    if (!thing) continue;
    const active = note.matches(':hover, :focus-within');
    const box = note.getBoundingClientRect();
    // A note far below the plan has its line only while it is in hand.
    if (!active && box.top > plan.bottom) continue;
    const target = nearest(thing.getBoundingClientRect());
    const [x0, y0] = [tenth(box.left + scrollX), tenth(box.top + scrollY + 14)];
    const [x, y] = [tenth(target.x + scrollX), tenth(target.y + scrollY)];
    all.push({ d: `M${x0} ${y0}H${Math.max(x + 4, x0 - 26)}L${x} ${y}`, x, y, active });
  }
  return all;
}

// The ring of a lead, or the right upper part of a block: where a line may end without hiding a name.
function nearest(box) {
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
