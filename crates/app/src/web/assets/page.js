// The page: buttons, choices and strips send wishes; pictures are taken hold of.

import { send, whenPlaced } from '/send.js';
import { takeHold } from '/hold.js';
import { laySoon } from '/leaders.js';
import { takeReadings } from '/readings.js';
import { fitPaper } from '/paper.js';

document.addEventListener('click', (event) => {
  const button = event.target.closest?.('[data-do]');
  if (!button || button.getAttribute('aria-disabled') === 'true') return;
  send(JSON.parse(button.dataset.do));
});

document.addEventListener('change', (event) => {
  const field = event.target.closest?.('[data-change]');
  if (!field) return;
  const kind = field.dataset.kind === 'number' ? Number(field.value) : field.value;
  send({ ...JSON.parse(field.dataset.change), [field.dataset.value]: kind });
});

for (const strip of document.querySelectorAll('details[data-strip]')) {
  strip.addEventListener('toggle', () => {
    send({ do: 'strip', name: strip.dataset.strip, open: strip.open });
  });
}

// Runs once, a while after the last time it was asked for.
const settled = (what, ms) => {
  let waiting = 0;
  return () => {
    clearTimeout(waiting);
    waiting = setTimeout(what, ms);
  };
};
const full = settled(() => {
  const rough = document.querySelector('[data-then]');
  if (rough) send(JSON.parse(rough.dataset.then));
}, 150);
addEventListener('resize', settled(() => send({ do: 'look' }), 120));
// Whoever comes back from writing in the log sees what it says now.
addEventListener('focus', settled(() => send({ do: 'look' }), 120));
for (const name of ['mouseover', 'focusin', 'mouseout', 'focusout']) {
  document.getElementById('notes').addEventListener(name, laySoon);
}
document.addEventListener('toggle', laySoon, true);

whenPlaced(() => {
  laySoon();
  // A rough piece names the wish that makes it full; it is sent when the sheet has come to rest.
  full();
});
takeHold();
takeReadings();
fitPaper();
send({ do: 'look' });
document.documentElement.dataset.ready = 'yes';
