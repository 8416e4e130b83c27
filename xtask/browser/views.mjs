// Every view of the page, open to everybody: axe-core finds nothing against WCAG 2.2 AA, at desk and at
// phone width; with lettering twice as large, and zoomed to 200 %, nothing is cut or lies over another
// and everything can be worked; nothing is told by colour alone; the sheet prints on both papers.
//
//     node views.mjs BROWSER PROGRAM FOLDER SHOTS RIG OTHER...
//
// RIG is looked at in every view, each OTHER in its main ones.
//
// One line a check: `ok   NAME` or `FAIL NAME: WHY`. Pictures go to SHOTS, in colour, in grey and in print.

import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join } from 'node:path';
import { PATIENCE_MS, after, emptied, expect, idle, launched, ready, serve, strip } from './served.mjs';

const [browserName, program, folder, shots, rig, ...others] = process.argv.slice(2);
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const DESK = { width: 1280, height: 900 };
const PHONE = { width: 360, height: 740 };
// A window of 1280 x 900 at 200 % is laid out as one of half of it.
const ZOOMED = { width: 640, height: 450 };
const SHOWN = 4;
const READINGS = `# a copy of Alder Fen
[day]
by = "R. Alder"
ticks = ["1.1 Lay out the blocks"]
notes = ["C2 had a wet lid"]
[read]
A1 = "6.31 V"
C2 = "4.20 V"
Z9 = "1 V"
[post."A1 +"]
torque = "11 Nm"
stack = ["lug 4", "nut"]
`;

// Runs in the page: what is cut off, lies over another, or cannot be reached by a pointer.
function faultsInLayout() {
  const faults = [];
  const named = (e) => `${e.tagName.toLowerCase()} "${(e.getAttribute('aria-label') ?? e.textContent).trim().slice(0, 30)}"`;
  const seen = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !e.closest('.away, .skip, #say');
  const wide = document.documentElement.scrollWidth - innerWidth;
  if (wide > 1) faults.push(`the sheet is ${wide} px wider than the window`);

  // What is left of a box after everything around it has cut off its share.
  const within = (a, b) => ({
    left: Math.max(a.left, b.left),
    right: Math.min(a.right, b.right),
    top: Math.max(a.top, b.top),
    bottom: Math.min(a.bottom, b.bottom),
  });
  const known = new Map([[document.body, { left: -1e9, right: 1e9, top: -1e9, bottom: 1e9 }]]);
  const frameOf = (e) => {
    if (!known.has(e)) {
      const around = frameOf(e.parentElement);
      const own = getComputedStyle(e).overflowX === 'visible' ? around : within(around, e.getBoundingClientRect());
      known.set(e, own);
    }
    return known.get(e);
  };
  const clipped = (box, element) => within(box, frameOf(element));
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest('svg, select, script') || !seen(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const rect of range.getClientRects()) {
      const box = clipped(rect, parent);
      if (box.right - box.left > 2 && box.bottom - box.top > 2) texts.push({ ...box, node });
    }
    const style = getComputedStyle(parent);
    if (['hidden', 'clip'].includes(style.overflowX) && parent.scrollWidth > parent.clientWidth + 1) {
      faults.push(`${named(parent)} is cut off`);
    }
  }
  texts.sort((a, b) => a.top - b.top);
  for (let n = 0; n < texts.length; n += 1) {
    const a = texts[n];
    for (let m = n + 1; m < texts.length && texts[m].top < a.bottom - 3; m += 1) {
      const b = texts[m];
      const over = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - b.top;
      if (a.node !== b.node && over > 2 && down > 3) {
        faults.push(`"${a.node.data.trim().slice(0, 25)}" lies over "${b.node.data.trim().slice(0, 25)}"`);
      }
    }
  }
  for (const control of document.querySelectorAll('button, select, input, a, summary')) {
    if (!seen(control)) continue;
    control.scrollIntoView({ block: 'center', inline: 'center' });
    const box = control.getClientRects()[0];
    const found = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    if (!found || !(control.contains(found) || found.contains(control))) {
      faults.push(`${named(control)} cannot be reached: ${found ? named(found) : 'nothing'} is there`);
    }
  }
  scrollTo(0, 0);
  return faults;
}

const told = (faults) => {
  const more = faults.length > SHOWN ? ` and ${faults.length - SHOWN} more` : '';
  return `${faults.slice(0, SHOWN).join('; ')}${more}`;
};

async function axe(page) {
  await page.evaluate(AXE);
  const found = await page.evaluate((values) => globalThis.axe.run(document, {
    runOnly: { type: 'tag', values },
  }), RULES);
  return found.violations.map((v) => `${v.id} at ${v.nodes[0].target} (${v.nodes.length})`);
}

async function fitted(page, size) {
  await page.setViewportSize(size);
  await page.waitForTimeout(200);
  await idle(page);
  // What was said last lies over the foot of the window only for a while.
  await page.evaluate(() => document.getElementById('say').replaceChildren());
}

const lettering = (page, share) =>
  page.evaluate((size) => { document.documentElement.style.fontSize = size; }, share);

async function looked(page, name) {
  const faults = [];
  const add = (where, found) => faults.push(...found.map((f) => `${where}: ${f}`));
  for (const [where, size] of [['desk', DESK], ['phone', PHONE]]) {
    await fitted(page, size);
    add(where, await axe(page));
    if (size === PHONE) add(where, await page.evaluate(faultsInLayout));
    await page.screenshot({ path: join(shots, `${name.replaceAll(' ', '-')}-${where}.png`), fullPage: true });
    await lettering(page, '200%');
    await fitted(page, size);
    add(`${where}, lettering at 200 %`, await page.evaluate(faultsInLayout));
    await page.screenshot({ path: join(shots, `${name.replaceAll(' ', '-')}-${where}-200.png`), fullPage: true });
    await lettering(page, '');
  }
  await fitted(page, ZOOMED);
  add('zoomed to 200 %', await page.evaluate(faultsInLayout));
  await fitted(page, DESK);
  if (faults.length > 0) throw new Error(told(faults));
}

const STRIPS = ['share', 'leads', 'weights', 'nights', 'shopping', 'steps', 'proved', 'take-away', 'keys'];
const touched = (kind, id) => async (page) => {
  await page.evaluate(([kind, id]) => import('/send.js').then((m) => m.send({ do: 'touch', kind, id })), [kind, id]);
  await page.locator('.told').waitFor();
  await idle(page);
};
// The first lead of the plan: not every rig has one of the same name.
const touchedLead = async (page) =>
  touched('lead', await page.locator('#plan [data-lead]').first().getAttribute('data-lead'))(page);
const left = (page) => after(page, () => page.locator('[data-key="leave"]').click());

// Name, how it is come to, how it is left.
const VIEWS = [
  ['plan', async () => {}, async () => {}],
  ...STRIPS.map((name) => [`strip ${name}`, (page) => strip(page, name), (page) => strip(page, name, false)]),
  ['proved with readings', async (page) => {
    await strip(page, 'proved');
    const buffer = Buffer.from(READINGS);
    await page.setInputFiles('[data-readings]', { name: 'readings.toml', mimeType: 'text/plain', buffer });
    await page.locator('#proved .big').waitFor();
  }, (page) => strip(page, 'proved', false)],
  ['block', touched('block', 'A1'), left],
  ['post', touched('post', 'A1 +'), left],
  ['lead', touchedLead, left],
  ['device', touched('device', 'main'), left],
  ['finding', async (page) => {
    await after(page, () => page.locator('.rule').first().click());
    await page.locator('.told').waitFor();
  }, left],
  ['word', async (page) => {
    await touched('block', 'A1')(page);
    await after(page, () => page.locator('.terms .term').first().click());
  }, left],
  ['compare', async (page) => {
    await after(page, () => page.locator('[data-key="copy"]').click());
    await after(page, () => page.evaluate(() => import('/send.js').then((m) => m.send({ do: 'turn', block: 'C1' }))));
    await page.locator('[aria-label="What differs"] table').waitFor();
  }, (page) => after(page, () => page.locator('[data-key="copy"]').click())],
  ['conflict', async (page, file) => {
    writeFileSync(file, readFileSync(file, 'utf8').replace('budget = 2400', 'budget = 2500'));
    await after(page, () => page.locator('[data-key=save]').click());
    await page.locator('.ask', { hasText: 'budget = 2500' }).waitFor();
  }, (page) => after(page, () => page.locator('[data-key="settle mine"]').click())],
];

// Views that look otherwise from rig to rig.
const MAIN = ['plan', 'strip share', 'strip leads', 'strip weights', 'strip nights', 'strip shopping', 'strip steps', 'strip proved', 'block', 'lead', 'finding'];

const BUTTONS = ['Undo', 'Redo', 'Save', 'What if', 'In inches', 'In millimetres', 'A file of readings', 'What the odds rest on'];

// The sheet on paper: the rig, the title block and what is open; no buttons.
async function printed(page) {
  await strip(page, 'leads');
  await page.emulateMedia({ media: 'print' });
  for (const [format, width] of [['Letter', 612], ['A4', 595]]) {
    const path = join(shots, `print-${format}.pdf`);
    await page.pdf({ path, format });
    const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
    expect(Math.abs(Number(/Page size:\s+([\d.]+)/.exec(info)[1]) - width) < 1, `${format}: ${info}`);
    const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' });
    const [first] = text.split('\f');
    for (const words of ['Alder Fen', 'scale', 'revision', 'stage', 'us-trailer', 'Local code']) {
      expect(first.includes(words), `${format}: "${words}" is not on the first sheet`);
    }
    expect(/\b1 ?: ?\d/.test(first), `${format}: no scale is on the first sheet`);
    const paper = text.split('\f').filter((t) => t.trim());
    expect(paper.every((t) => t.includes('revision')), `${format}: a sheet has no title block`);
    expect(text.includes('Leads and cut list') && text.includes('2/0 AWG'), `${format}: the open strip is not there`);
    expect(!text.includes('Nights without'), `${format}: a closed strip is there`);
    const button = BUTTONS.find((b) => text.includes(b));
    expect(!button, `${format}: "${button}" is printed`);
    execFileSync('pdftoppm', ['-r', '60', '-png', path, join(shots, `print-${format}`)]);
  }
  // A picture as large as it was drawn: then the scale in the title block is true.
  await idle(page);
  const shrunk = await page.evaluate(() => {
    dispatchEvent(new Event('beforeprint'));
    return [...document.querySelectorAll('.picture svg')].filter((svg) => svg.checkVisibility()
      && Math.abs(svg.getBoundingClientRect().width - (svg.viewBox.baseVal.width * 96) / 25.4) > 1).length;
  });
  expect(shrunk === 0, `${shrunk} pictures are not as large as they were drawn`);
  await page.evaluate(() => dispatchEvent(new Event('afterprint')));
  await page.emulateMedia({ media: 'screen' });
  await idle(page);
}

// What colour says is said by a word or a sign as well.
async function inGrey(page) {
  for (const name of ['share', 'nights']) await strip(page, name);
  await page.evaluate(() => { document.documentElement.style.filter = 'grayscale(1)'; });
  await page.screenshot({ path: join(shots, 'grey.png'), fullPage: true });
  const faults = await page.evaluate(() => {
    const bad = [];
    for (const note of document.querySelectorAll('article.note')) {
      const word = note.querySelector('.word')?.textContent;
      if (!['STOP', 'FIX', 'NOTE'].includes(word)) bad.push(`a note says "${word}"`);
    }
    // Each post has its sign, each lead its name, on the plan itself.
    for (const post of document.querySelectorAll('#plan [data-post]')) {
      if (!/[+\u2212]/.test(post.dataset.post) || !post.querySelector('title')?.textContent) bad.push(`post ${post.dataset.post}`);
    }
    const written = document.querySelector('#plan svg').textContent;
    for (const lead of document.querySelectorAll('#plan [data-lead]')) {
      if (!written.includes(lead.dataset.lead)) bad.push(`lead ${lead.dataset.lead} is not named`);
    }
    return bad;
  });
  expect(faults.length === 0, told(faults));
}

async function hold(name, work) {
  try {
    await work();
    console.log(`ok   page, ${name}`);
  } catch (fault) {
    console.log(`FAIL page, ${name}: ${String(fault.message).split('\n')[0]}`);
  }
}

async function visited(page, file, name, [come, leave], of = '') {
  await come(page, file);
  try {
    await looked(page, `${of}${name}`);
  } finally {
    await leave(page);
  }
}

// The main views of another rig.
async function other(path) {
  const file = join(folder, basename(path));
  const name = basename(path, '.toml');
  copyFileSync(path, file);
  const { page } = await open({ file });
  await ready(page);
  await strip(page, 'share', false);
  for (const [view, ...ways] of VIEWS.filter(([view]) => MAIN.includes(view))) {
    await hold(`view ${view} of ${name}`, () => visited(page, file, view, ways, `${name} `));
  }
}

emptied(folder, shots);
const browser = await launched(browserName);
const served = [];
const open = async (options) => {
  const one = await serve(program, options);
  served.push(one.child);
  const page = await (await browser.newContext({ viewport: DESK })).newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  await page.goto(one.address);
  return { ...one, page };
};
const file = join(folder, basename(rig));
copyFileSync(rig, file);
try {
  const begin = await open({ folder });
  await hold('view begin', () => looked(begin.page, 'begin'));
  const { page, child } = await open({ file });
  await ready(page);
  await strip(page, 'share', false);
  for (const [name, come, leave] of VIEWS) {
    await hold(`view ${name}`, () => visited(page, file, name, [come, leave]));
  }
  await hold('nothing by colour alone', () => inGrey(page));
  await page.reload();
  await ready(page);
  await hold('print on both papers', async () => {
    for (const name of ['share', 'nights']) await strip(page, name, false);
    await printed(page);
  });
  await after(page, () => page.evaluate(() => import('/send.js').then((m) => m.send({ do: 'turn', block: 'C1' }))));
  child.kill('SIGKILL');
  const again = await open({ file });
  await ready(again.page);
  await hold('view restore', async () => {
    await again.page.locator('[data-key=restore]').waitFor();
    await looked(again.page, 'restore');
  });
  for (const path of others) await other(path);
} finally {
  for (const child of served) child.kill('SIGKILL');
  await browser.close();
}
