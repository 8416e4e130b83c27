// Printing: the pictures are drawn anew for a sheet of paper, so that their lettering can be read and the
// scale in the title block is true; afterwards for the window again.

import { placeNow, send } from '/send.js';

// Within the margins of letter and of A4 [px]: 185 mm wide, and a plan no taller than half of the sheet.
const PAPER = [699, 500];

export function fitPaper() {
  addEventListener('beforeprint', () => {
    document.documentElement.toggleAttribute('data-paper', placeNow({ do: 'look' }, PAPER));
  });
  addEventListener('afterprint', () => {
    document.documentElement.removeAttribute('data-paper');
    send({ do: 'look' });
  });
}
