// The books of the demo rigs as a browser prints them.
//
//     node book.mjs BROWSER BOOKS SHOTS DEMO...
//
// Each book is BOOKS/DEMO/book-letter.html and book-a4.html, with hand-over.html on one of the two papers
// beside them; every `.page` in them is a sheet of paper.
// One line a check: `ok   NAME` or `FAIL NAME: WHY`. Pictures and a PDF of each book go to SHOTS.
// It holds: nothing leaves its page or is cut off by it, no text is under 10 pt, the browser prints
// as many sheets as the book has pages, it complains of nothing, and it asks for no file but its own.

import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [browserName, books, shots, ...demos] = process.argv.slice(2);
const MM = 96 / 25.4;
// Width and height in CSS pixels, as printed upright.
const PAPERS = { letter: [215.9 * MM, 279.4 * MM], A4: [210 * MM, 297 * MM] };
// 10 pt is 13.33 px; the hundredth allows for a browser that rounds lengths to 1/64 px.
const SMALLEST_PX = (10 * 96) / 72 - 0.01;
// A pixel is 0.26 mm: what rounding to device pixels may add.
const SLACK_PX = 1;
const FAULTS_SHOWN = 8;

// Runs in the page: everything that does not fit or cannot be read.
function faultsOnPage({ width, height, smallest, slack }) {
  const faults = [];
  const named = (element) => {
    const kind = element.getAttribute('class')?.split(/\s+/)[0];
    const words = element.textContent.trim().replace(/\s+/g, ' ').slice(0, 40);
    const sheet = element.closest('.page')?.id ?? 'no page';
    return `${sheet}: ${element.tagName.toLowerCase()}${kind ? `.${kind}` : ''} "${words}"`;
  };
  const shown = (element) =>
    element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
  const leaves = (box, frame) =>
    Math.max(frame.left - box.left, box.right - frame.right, frame.top - box.top,
      box.bottom - frame.bottom);

  // The nearest element around one that cuts off what leaves it, the page at the latest.
  const frameOf = (element) => {
    let frame = element;
    while (frame && !frame.matches('.page') && getComputedStyle(frame).overflowX === 'visible') {
      frame = frame.parentElement;
    }
    return frame;
  };

  const sheets = [...document.querySelectorAll('.page')];
  if (sheets.length === 0) faults.push('the book has no .page');
  for (const sheet of sheets) {
    const box = sheet.getBoundingClientRect();
    if (Math.abs(box.width - width) > slack) faults.push(`${sheet.id}: as wide as ${box.width} px`);
    if (box.height > height + slack) faults.push(`${sheet.id}: as tall as ${box.height} px`);
  }
  for (const element of document.body.querySelectorAll('*')) {
    if (!shown(element)) continue;
    const box = element.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    const picture = element.ownerSVGElement;
    if (picture) {
      // Lettering must lie inside its own picture.
      const out = element.tagName === 'text' ? leaves(box, picture.getBoundingClientRect()) : 0;
      if (out > slack) faults.push(`${named(element)} leaves its picture by ${Math.round(out)} px`);
      continue;
    }
    const frame = element.parentElement && frameOf(element.parentElement);
    const out = frame ? leaves(box, frame.getBoundingClientRect()) : 0;
    if (out > slack) {
      faults.push(`${named(element)} leaves its ${frame.className} by ${Math.round(out)} px`);
    }
    const style = getComputedStyle(element);
    // What is turned is measured as it lay before; its own box was looked at above.
    const turned = [...element.children].some((c) => getComputedStyle(c).transform !== 'none');
    if (style.display === 'inline' || turned) continue;
    const wide = element.scrollWidth - element.clientWidth;
    const tall = style.overflowY === 'visible' ? 0 : element.scrollHeight - element.clientHeight;
    const most = Math.max(wide, tall);
    if (most > slack) faults.push(`${named(element)} holds ${most} px more than it shows`);
  }

  const small = new Map();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || !shown(element)) continue;
    const range = document.createRange();
    range.selectNodeContents(walker.currentNode);
    if (range.getClientRects().length === 0) continue;
    let size = parseFloat(getComputedStyle(element).fontSize);
    if (element instanceof SVGElement && element.getScreenCTM) {
      const turn = element.getScreenCTM();
      size *= Math.hypot(turn.a, turn.b);
    }
    if (size < smallest) {
      const kind = `${(size * 0.75).toFixed(1)} pt in ${element.tagName.toLowerCase()}`;
      const seen = small.get(kind) ?? { count: 0, first: named(element) };
      seen.count += 1;
      small.set(kind, seen);
    }
  }
  for (const [kind, seen] of small) faults.push(`${seen.count} texts of ${kind}, first ${seen.first}`);
  return faults;
}

// A file of a demo.
function fileOf(demo, name) {
  const file = resolve(books, demo, name);
  if (!existsSync(file)) throw new Error(`${name} was not written`);
  return file;
}

// What is printed of a demo: its name, its file, and the paper; the folder says itself which it is for.
function volumesOf(demo) {
  const of = (paper) => [`book of ${demo} on ${paper}`, `book-${paper.toLowerCase()}.html`, paper];
  const folder = (paper) => [`hand-over of ${demo}`, 'hand-over.html', paper];
  const file = resolve(books, demo, 'hand-over.html');
  const letter = existsSync(file) && readFileSync(file, 'utf8').includes('@page{size:215.9mm');
  return [...Object.keys(PAPERS).map(of), folder(letter ? 'letter' : 'A4')];
}

// Hears everything a page complains of.
function listen(page, faults) {
  page.on('console', (said) => {
    if (['error', 'warning'].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  page.on('pageerror', (fault) => faults.push(`script: ${fault.message}`));
  page.on('requestfailed', (request) => faults.push(`not found: ${request.url().split('/').pop()}`));
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) faults.push(`asks the network: ${request.url()}`);
  });
}

async function faultsOf(browser, demo, file, paper) {
  const stem = `${demo}-${file === 'hand-over.html' ? 'hand-over' : paper}`;
  const faults = [];
  const [width, height] = PAPERS[paper];
  const page = await browser.newPage();
  listen(page, faults);
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: Math.ceil(width), height: Math.ceil(height) });
  await page.goto(pathToFileURL(fileOf(demo, file)).href);
  await page.evaluate(() => document.fonts.ready);
  const limits = { width, height, smallest: SMALLEST_PX, slack: SLACK_PX };
  faults.push(...(await page.evaluate(faultsOnPage, limits)));
  const path = join(shots, `${stem}.pdf`);
  const pdf = await page.pdf({ path, preferCSSPageSize: true, printBackground: true });
  const printed = pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
  const sheets = page.locator('.page');
  const count = await sheets.count();
  if (printed !== count) faults.push(`${count} pages make ${printed} sheets of paper`);
  for (let nth = 0; nth < count; nth += 1) {
    const name = `${stem}-${String(nth + 1).padStart(2, '0')}.png`;
    await sheets.nth(nth).screenshot({ path: join(shots, name) });
  }
  await page.close();
  return faults;
}

const executablePath = execFileSync('sh', ['-c', `command -v ${browserName}`]).toString().trim();
// Pictures of an earlier book must not be taken for this one's.
rmSync(shots, { recursive: true, force: true });
mkdirSync(shots, { recursive: true });
const browser = await chromium.launch({
  executablePath,
  headless: true,
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});
let failed = 0;
for (const demo of demos) {
  for (const [name, file, paper] of volumesOf(demo)) {
    let faults;
    try {
      faults = await faultsOf(browser, demo, file, paper);
    } catch (fault) {
      faults = [fault.message.split('\n')[0]];
    }
    if (faults.length === 0) {
      console.log(`ok   ${name}`);
      continue;
    }
    failed += 1;
    console.log(`FAIL ${name}: ${faults.length} faults`);
    for (const fault of faults.slice(0, FAULTS_SHOWN)) console.log(`     ${fault}`);
    if (faults.length > FAULTS_SHOWN) console.log(`     and ${faults.length - FAULTS_SHOWN} more`);
  }
}
await browser.close();
process.exitCode = failed > 0 ? 1 : 0;
