// The books of the demo rigs as a browser prints them.
//
//     node book.mjs BROWSER BOOKS SHOTS DEMO...
//
// One line a check: `ok   NAME` or `FAIL NAME: WHY`. Pictures and a PDF of each book go to SHOTS.
// It holds: nothing is wider than its page or too tall to fit one, no text is under 10 pt, the page
// complains of nothing, and it asks for no file but its own.

import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync } from 'node:fs';
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

// The margins that the style of the book asks for; without any, what this browser takes.
function printMargins() {
  const plain = { top: 37.8, right: 37.8, bottom: 37.8, left: 37.8 };
  const probe = document.createElement('div');
  document.body.append(probe);
  for (const sheet of document.styleSheets) {
    for (const rule of sheet.cssRules) {
      if (!(rule instanceof CSSPageRule) || rule.selectorText) continue;
      for (const side of Object.keys(plain)) {
        const value = rule.style.getPropertyValue(`margin-${side}`);
        if (!value) continue;
        probe.style.width = value;
        plain[side] = parseFloat(getComputedStyle(probe).width);
      }
    }
  }
  probe.remove();
  return plain;
}

// Runs in the page: everything that does not fit or cannot be read.
function faultsOnPage({ width, height, smallest, slack }) {
  const faults = [];
  const named = (element) => {
    const kind = element.getAttribute('class') ? `.${element.getAttribute('class').split(/\s+/)[0]}` : '';
    const words = element.textContent.trim().replace(/\s+/g, ' ').slice(0, 40);
    return `${element.tagName.toLowerCase()}${kind} "${words}"`;
  };
  const shown = (element) =>
    element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
  const outer = (element) => (element instanceof SVGElement ? element.ownerSVGElement : null);

  for (const element of document.body.querySelectorAll('*')) {
    if (!shown(element)) continue;
    const box = element.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) continue;
    const left = box.left + window.scrollX;
    const svg = outer(element);
    if (svg) {
      // A mark must lie inside its own picture.
      const text = element.tagName.toLowerCase() === 'text';
      const frame = svg.getBoundingClientRect();
      if (text && (box.right > frame.right + slack || box.left < frame.left - slack
          || box.bottom > frame.bottom + slack || box.top < frame.top - slack)) {
        faults.push(`${named(element)} leaves its picture`);
      }
      continue;
    }
    if (left < -slack || left + box.width > width + slack) {
      faults.push(`${named(element)} is ${Math.round(left + box.width - width)} px beyond the page`);
    }
    const style = getComputedStyle(element);
    if (element.scrollWidth > element.clientWidth + slack && element.clientWidth > 0
        && style.display !== 'inline') {
      faults.push(`${named(element)} holds more than its width`);
    }
    const whole = style.breakInside === 'avoid' || style.breakInside === 'avoid-page'
      || ['svg', 'img', 'tr'].includes(element.tagName.toLowerCase());
    if (whole && box.height > height + slack) {
      faults.push(`${named(element)} is ${Math.round(box.height - height)} px taller than a page`);
    }
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

// The page of a book: its index, or the only page there is.
function pageOf(demo) {
  const folder = resolve(books, demo);
  if (!existsSync(folder)) throw new Error(`no book of ${demo} was written`);
  const pages = readdirSync(folder).filter((name) => name.endsWith('.html')).sort();
  if (pages.length === 0) throw new Error(`the book of ${demo} has no page`);
  return join(folder, pages.includes('index.html') ? 'index.html' : pages[0]);
}

async function faultsOf(browser, demo, paper) {
  const faults = [];
  const [width, height] = PAPERS[paper];
  const page = await browser.newPage();
  page.on('console', (said) => {
    if (['error', 'warning'].includes(said.type())) faults.push(`console: ${said.text()}`);
  });
  page.on('pageerror', (fault) => faults.push(`script: ${fault.message}`));
  page.on('requestfailed', (request) => faults.push(`not found: ${request.url().split('/').pop()}`));
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) faults.push(`asks the network: ${request.url()}`);
  });
  await page.emulateMedia({ media: 'print' });
  const url = pathToFileURL(pageOf(demo)).href;
  await page.goto(url);
  const margins = await page.evaluate(printMargins);
  const inner = {
    width: Math.floor(width - margins.left - margins.right),
    height: Math.floor(height - margins.top - margins.bottom),
  };
  await page.setViewportSize(inner);
  await page.evaluate(() => document.fonts.ready);
  const limits = { ...inner, smallest: SMALLEST_PX, slack: SLACK_PX };
  faults.push(...(await page.evaluate(faultsOnPage, limits)));
  await page.pdf({
    path: join(shots, `${demo}-${paper}.pdf`),
    format: paper,
    preferCSSPageSize: false,
    printBackground: true,
    margin: Object.fromEntries(Object.entries(margins).map(([side, px]) => [side, `${px}px`])),
  });
  const tall = await page.evaluate(() => document.documentElement.scrollHeight);
  for (let top = 0, count = 1; top < tall; top += inner.height, count += 1) {
    const clip = { x: 0, y: top, width: inner.width, height: Math.min(inner.height, tall - top) };
    const name = `${demo}-${paper}-${String(count).padStart(2, '0')}.png`;
    await page.screenshot({ path: join(shots, name), clip, fullPage: true });
  }
  await page.close();
  return faults;
}

const executablePath = execFileSync('sh', ['-c', `command -v ${browserName}`]).toString().trim();
mkdirSync(shots, { recursive: true });
const browser = await chromium.launch({
  executablePath,
  headless: true,
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});
let failed = 0;
for (const demo of demos) {
  for (const paper of Object.keys(PAPERS)) {
    const name = `book of ${demo} on ${paper}`;
    let faults;
    try {
      faults = await faultsOf(browser, demo, paper);
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
