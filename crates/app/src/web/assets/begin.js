// The page without a design: a demo, or a new one from the answers.

import { say } from '/send.js';

async function begin(wish) {
  try {
    const response = await fetch('/begin', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(wish),
    });
    if (response.ok) location.assign('/');
    else say(await response.text(), true);
  } catch {
    say('The program behind this page has stopped. Start `bankwright open` again.', true);
  }
}

document.addEventListener('click', (event) => {
  const button = event.target.closest?.('[data-do]');
  if (button) begin(JSON.parse(button.dataset.do));
});

document.getElementById('start').addEventListener('submit', (event) => {
  event.preventDefault();
  begin({ do: 'start', answers: Object.fromEntries(new FormData(event.target)) });
});
