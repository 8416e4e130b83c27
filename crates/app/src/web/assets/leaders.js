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

export function layLeaders() {
  const svg = layer();
  const sheet = document.querySelector('.sheet').getBoundingClientRect();
  svg.setAttribute('width', WIDE.matches ? sheet.right + scrollX : 0);
  svg.setAttribute('height', WIDE.matches ? sheet.bottom + scrollY : 0);
  svg.replaceChildren(...(WIDE.matches ? lines() : []));
}

function lines() {
  const all = [];
  const plan = document.getElementById('plan').getBoundingClientRect();
  for (const note of document.querySelectorAll('.note[data-at]')) {
    const thing = thingOf(note);
    if (!thing) continue;
    const active = note.matches(':hover, :focus-within');
    const box = note.getBoundingClientRect();
    // A note far below the plan has its line only while it is in hand.
    if (!active && box.top > plan.bottom) continue;
    const target = nearest(thing.getBoundingClientRect());
    const path = document.createElementNS(SVG, 'path');
    const [x0, y0] = [box.left + scrollX, box.top + scrollY + 14];
    const [x1, y1] = [target.x + scrollX, target.y + scrollY];
    path.setAttribute('d', `M${x0} ${y0}H${Math.max(x1 + 4, x0 - 26)}L${x1} ${y1}`);
    path.setAttribute('class', active ? 'line active' : 'line');
    const dot = document.createElementNS(SVG, 'circle');
    dot.setAttribute('cx', x1);
    dot.setAttribute('cy', y1);
    dot.setAttribute('r', active ? 4 : 2.5);
    dot.setAttribute('class', active ? 'dot active' : 'dot');
    all.push(path, dot);
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
