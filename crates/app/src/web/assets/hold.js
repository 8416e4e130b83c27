// Taking hold: of a block, of a lead end on a post, of the box along the rig. By pointer and by keys.

import { say, send } from '/send.js';
import { drawPull, clearPull } from '/leaders.js';

const PARTS = '[data-block],[data-post],[data-lead],[data-device],[data-slide]';
// Less than this is a touch, not a pull [px].
const STILL = 4;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

// Tells of a pointer as it moves, where `pointermove` waits for the next frame to be drawn.
const AT_ONCE = 'pointerrawupdate';

let held = null;
let moving = null;

export function takeHold() {
  document.addEventListener('pointerdown', down);
  document.addEventListener('pointermove', move);
  document.addEventListener(AT_ONCE, move);
  document.addEventListener('pointerup', up);
  document.addEventListener('pointercancel', letGo);
  document.addEventListener('keydown', key);
}

function partOf(target) {
  return target instanceof Element ? target.closest(PARTS) : null;
}

// Pixels of the screen for a millimetre of the rig.
function pixelsPerMm(part) {
  const own = Number(part.dataset.perMm);
  const svg = part.ownerSVGElement;
  const paper = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  return paper * (own || Number(svg.dataset.scale) || 1);
}

function down(event) {
  const part = partOf(event.target);
  const stage = part?.closest('.picture');
  if (!part || !stage || event.button !== 0) return;
  const home = stage.parentElement.closest('[id]');
  // A finger that swipes over the sheet means the sheet: it moves only what it has touched before.
  const mine = event.pointerType !== 'touch' || part === document.activeElement;
  held = {
    mine,
    pointer: event.pointerId,
    x: event.clientX,
    y: event.clientY,
    scale: pixelsPerMm(part),
    data: { ...part.dataset },
    part,
    pulled: false,
    over: null,
  };
  if (mine) part.focus({ preventScroll: true });
  home.setPointerCapture(event.pointerId);
}

function wish(event, commit) {
  const { data, scale, x, y } = held;
  const dx = (event.clientX - x) / scale;
  const dy = (y - event.clientY) / scale;
  if (data.block) return { do: 'move', block: data.block, dx, dy, commit };
  if (data.slide) return { do: 'slide', by: dx, across: data.slide === 'across', commit };
  if (data.post && held.over) return { do: 'end', from: data.post, to: held.over, commit };
  return null;
}

function move(event) {
  if (!held || event.pointerId !== held.pointer) return;
  held.atOnce ||= event.type === AT_ONCE;
  // Each move is followed once: a lead end, which is drawn as it is pulled, by the frame.
  if (held.atOnce && (event.type === AT_ONCE) === Boolean(held.data.post)) return;
  const far = Math.hypot(event.clientX - held.x, event.clientY - held.y);
  if (!held.pulled && far < STILL) return;
  held.pulled = true;
  if (!held.mine) return;
  if (held.data.post) {
    drawPull(held.x, held.y, event.clientX, event.clientY);
    const over = document.elementFromPoint(event.clientX, event.clientY)?.closest('[data-post]');
    const name = over && over.dataset.post !== held.data.post ? over.dataset.post : null;
    if (name === held.over) return;
    held.over = name;
    if (!name) {
      send({ do: 'drop' }, { live: true });
      return;
    }
  }
  const wanted = wish(event, false);
  if (wanted) send(wanted, { live: true });
}

function up(event) {
  if (!held || event.pointerId !== held.pointer) return;
  const { data, part, pulled, mine } = held;
  const wanted = pulled && mine ? wish(event, true) : null;
  held = null;
  clearPull();
  if (wanted) send(wanted);
  else if (!pulled) {
    part.focus({ preventScroll: true });
    touch(data);
  } else if (mine) send({ do: 'drop' });
}

function letGo(event) {
  if (!held || event.pointerId !== held.pointer) return;
  const { mine } = held;
  held = null;
  clearPull();
  if (mine) send({ do: 'drop' });
}

function touch(data) {
  for (const kind of ['block', 'post', 'lead', 'device']) {
    if (data[kind]) {
      send({ do: 'touch', kind, id: data[kind] });
      return;
    }
  }
}

// --- Keys ---------------------------------------------------------------------------------------

function key(event) {
  if (event.altKey) return;
  const typing = event.target instanceof Element && event.target.matches('input, select, textarea');
  if (event.ctrlKey || event.metaKey) {
    const word = { z: event.shiftKey ? 'redo' : 'undo', y: 'redo', s: 'save' }[event.key.toLowerCase()];
    if (word && !typing) {
      event.preventDefault();
      send({ do: word });
    }
    return;
  }
  if (typing) return;
  const part = partOf(document.activeElement);
  // Single letters count only while the plan or a thing on it is in hand.
  if (!part && !document.activeElement?.closest('#plan')) return;
  if (done(event, part)) event.preventDefault();
}

function done(event, part) {
  const data = part?.dataset ?? {};
  const arrow = ARROWS[event.key];
  if (moving) return endMoving(event, arrow);
  if (arrow) return step(data, arrow, event.shiftKey ? 10 : 1);
  switch (event.key) {
    case 'Enter':
    case ' ':
      touch(data);
      return Boolean(part);
    case 't':
    case 'T':
      if (data.block) send({ do: 'turn', block: data.block });
      return true;
    case 'm':
    case 'M':
      return data.post ? startMoving(data.post) : false;
    case '+':
      send({ do: 'strings', more: true });
      return true;
    case 'Delete':
      send(data.block ? { do: 'away', block: data.block } : { do: 'strings', more: false });
      return true;
    case 'z':
    case 'Z':
      send({ do: event.shiftKey ? 'redo' : 'undo' });
      return true;
    case 's':
      send({ do: 'save' });
      return true;
    case 'u':
      send({ do: 'units' });
      return true;
    case 'w':
      document.querySelector('[data-key="swap"]') ? send({ do: 'swap' }) : send({ do: 'copy', keep: true });
      return true;
    case 'Escape':
      send({ do: 'leave' });
      return true;
    default:
      return false;
  }
}

function step(data, [x, y], mm) {
  if (data.block) {
    send({ do: 'move', block: data.block, dx: x * mm, dy: y * mm, fine: true, commit: true });
  } else if (data.slide && x) {
    // To the right on the picture, which is forward where its millimetres run backwards.
    const by = Math.sign(Number(data.perMm)) * x * mm * 10;
    send({ do: 'slide', by, across: data.slide === 'across', commit: true });
  } else {
    return false;
  }
  return true;
}

function startMoving(from) {
  const posts = [...document.querySelectorAll('#plan [data-post]')].map((p) => p.dataset.post);
  moving = { from, posts, at: posts.indexOf(from) };
  say(`Lead end on ${from} in hand. Arrows choose a post, Enter bolts it there, Esc puts it back.`);
  return true;
}

function endMoving(event, arrow) {
  const { from, posts } = moving;
  if (arrow) {
    const by = arrow[0] + arrow[1] > 0 ? 1 : -1;
    moving.at = (moving.at + by + posts.length) % posts.length;
    const to = posts[moving.at];
    say(to === from ? `Back on ${from}.` : `To ${to}: Enter bolts it there.`);
    send(to === from ? { do: 'drop' } : { do: 'end', from, to, commit: false }, { live: true });
    return true;
  }
  if (event.key === 'Enter') {
    const to = posts[moving.at];
    moving = null;
    send(to === from ? { do: 'drop' } : { do: 'end', from, to, commit: true });
    return true;
  }
  if (event.key === 'Escape' || event.key === 'Tab') {
    moving = null;
    send({ do: 'drop' });
    return event.key === 'Escape';
  }
  return true;
}
