// Printing: the pictures are drawn anew for a sheet of paper and laid down in millimetres, so that their
// lettering can be read and the scale in the title block is true; afterwards for the window again.

import { placeNow, send } from '/send.js';

// What the program counts for a millimetre of paper [px].
const PIXELS_PER_MM = 3.4;
// Within the margins of letter and of A4, and a plan no taller than half of the sheet [mm].
const PAPER = [185, 135];

const pictures = () => document.querySelectorAll('.picture svg');

export function fitPaper() {
  addEventListener('beforeprint', () => {
    const drawn = placeNow({ do: 'look' }, PAPER.map((mm) => Math.round(mm * PIXELS_PER_MM)));
    document.documentElement.toggleAttribute('data-paper', drawn);
    if (!drawn) return;
    for (const svg of pictures()) svg.style.width = `${svg.viewBox.baseVal.width}mm`;
  });
  addEventListener('afterprint', () => {
    document.documentElement.removeAttribute('data-paper');
    for (const svg of pictures()) svg.style.width = '';
    send({ do: 'look' });
  });
}
