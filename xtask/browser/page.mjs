// The page as somebody uses it: a block dragged and turned, a lead end moved, undone, saved.
//
//     node page.mjs BROWSER PROGRAM RIG FOLDER SHOTS
//
// Each part works on its own copy of RIG in FOLDER and starts PROGRAM on it. One line a check:
// `ok   NAME` or `FAIL NAME: WHY`. Pictures go to SHOTS.

import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { PATIENCE_MS, after, emptied, expect, idle, launched, listen, ready, says, serve as serveFile } from './served.mjs';

const [browserName, program, rig, folder, shots] = process.argv.slice(2);
const DESK = { width: 1440, height: 960 };
const PHONE = { width: 360, height: 740 };

const text = (path) => readFileSync(path, 'utf8');

// A copy of the rig, served; or the choice of one, in a folder of its own.
async function serve(name, path, empty) {
  const own = join(folder, name);
  if (empty) {
    mkdirSync(own);
    return { ...(await serveFile(program, { folder: own })), file: join(own, basename(rig)) };
  }
  const file = path ?? join(folder, `${name}.toml`);
  if (!path) copyFileSync(rig, file);
  return serveFile(program, { file });
}

const part = (page, kind, name) => page.locator(`#plan [data-${kind}="${name}"]`).first();

// Where to take hold of a part: a block near its low left corner, away from posts and lettering.
async function grip(locator, kind) {
  const box = await locator.boundingBox();
  return kind === 'block'
    ? { x: box.x + 14, y: box.y + box.height - 10 }
    : { x: box.x + Math.min(box.width / 2, 7), y: box.y + box.height / 2 };
}

async function drag(page, from, to) {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  for (let n = 1; n <= 8; n += 1) {
    const x = from.x + ((to.x - from.x) * n) / 8;
    await page.mouse.move(x, from.y + ((to.y - from.y) * n) / 8);
  }
  await after(page, () => page.mouse.up());
}

async function dragged({ page, file }) {
  const before = text(file);
  const from = await grip(part(page, 'block', 'C1'), 'block');
  await drag(page, from, { x: from.x + 30, y: from.y + 4 });
  expect((await page.locator('[data-key=undo]').textContent()).includes('(1)'), 'one step to undo');
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('t'));
  await after(page, () => page.keyboard.press('z'));
  await after(page, () => page.locator('[data-key=save]').click());
  expect((await says(page)).startsWith('Saved'), `it says: ${await says(page)}`);
  const now = text(file);
  expect(now.includes('[bank.C1]'), 'where the block lies is in the file');
  for (const line of before.split('\n')) expect(now.includes(line), `this line is gone: ${line}`);
}

async function clash({ page }) {
  const from = await grip(part(page, 'block', 'C1'), 'block');
  const to = await grip(part(page, 'block', 'B1'), 'block');
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x - 10, from.y, { steps: 2 });
  await page.mouse.move((from.x + to.x) / 2, to.y, { steps: 4 });
  await page.locator('.note.stop', { hasText: 'in one another' }).first().waitFor();
  await page.mouse.up();
}

async function takeOff({ page, file }) {
  const from = await grip(part(page, 'post', 'C2\u00a0−'), 'post');
  const to = await grip(part(page, 'post', 'A2\u00a0−'), 'post');
  await drag(page, from, to);
  await after(page, () => page.keyboard.press('Control+s'));
  const want = 'takeoff = { plus = "A1 +", minus = "A2 -" }';
  expect(text(file).includes(want), 'the take-off is in the file');
}

async function byKeys({ page, file }) {
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('Shift+ArrowRight'));
  expect(
    await page.evaluate(() => document.activeElement.dataset.block === 'C1'),
    'the block stays in hand',
  );
  await page.locator('#plan [data-post="C2\u00a0−"]').focus();
  await page.keyboard.press('m');
  await after(page, () => page.keyboard.press('ArrowLeft'));
  await after(page, () => page.keyboard.press('Enter'));
  await after(page, () => page.keyboard.press('Control+s'));
  expect(text(file).includes('takeoff = {'), 'the lead end was moved by keys alone');
}

async function killed({ page, child, file, again }) {
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('t'));
  child.kill('SIGKILL');
  expect(existsSync(`${file}.unsaved`), 'the work lies beside the design');
  const second = await again();
  await second.page.locator('[data-key=restore]').waitFor();
  await after(second.page, () => second.page.locator('[data-key=restore]').click());
  await after(second.page, () => second.page.locator('[data-key=save]').click());
  expect(text(file).includes('[bank.C1]'), 'nothing was lost');
}

async function conflict({ page, file }) {
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('t'));
  writeFileSync(file, text(file).replace('budget = 2400', 'budget = 2500'));
  await after(page, () => page.locator('[data-key=save]').click());
  await page.locator('.ask', { hasText: 'budget = 2500' }).waitFor();
  await after(page, () => page.locator('[data-key="settle mine"]').click());
  expect(text(file).includes('[bank.C1]'), 'mine goes on');
  const theirs = file.replace('.toml', '.theirs.toml');
  expect(text(theirs).includes('budget = 2500'), 'theirs is kept beside');
}

// Presses Tab until the focus is on what is wanted, as somebody without a pointer must.
async function tabTo(page, selector) {
  for (let n = 0; n < 400; n += 1) {
    if (await page.evaluate((s) => document.activeElement?.matches(s), selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab does not reach ${selector}`);
}

// The whole task from the start page to the saved file, and no pointer at all.
async function keysOnly({ page, file }) {
  await tabTo(page, '.choices button');
  expect((await page.evaluate(() => document.activeElement.textContent)) === 'Alder Fen', 'first demo');
  await page.keyboard.press('Enter');
  await page.locator('#plan [data-block="C1"]').waitFor();
  await ready(page);
  const before = text(file);
  const key = (name) => after(page, () => page.keyboard.press(name));
  await tabTo(page, '#plan [data-block="C1"]');
  for (const name of ['ArrowRight', 'Shift+ArrowRight', 't', 'z']) await key(name);
  expect(
    await page.evaluate(() => document.activeElement.dataset.block === 'C1'),
    'the block stays in hand',
  );
  expect((await page.locator('[data-key=undo]').textContent()).includes('(1)'), 'the turn is undone');
  await tabTo(page, '#plan [data-post="C2\u00a0−"]');
  await page.keyboard.press('m');
  await key('ArrowLeft');
  expect((await says(page)).includes('Enter bolts it there'), `it says: ${await says(page)}`);
  await key('Enter');
  await tabTo(page, '#plan [data-lead="plus"]');
  await key('Enter');
  await tabTo(page, '#thing [data-key="size thing plus"]');
  await key('End');
  const size = await page.locator('#thing [data-key="size thing plus"]').inputValue();
  for (const strip of ['weights', 'nights']) {
    await tabTo(page, `details[data-strip=${strip}] > summary`);
    await key('Enter');
  }
  await tabTo(page, '#weights [data-slide]');
  await key('ArrowRight');
  await tabTo(page, '[data-key="hours fridge"]');
  await page.keyboard.press('Control+a');
  await page.keyboard.type('8');
  await key('Enter');
  await tabTo(page, '[data-key=month]');
  await key('End');
  await page.locator('#nights .big', { hasText: 'In December' }).waitFor();
  await tabTo(page, '[data-key=save]');
  await key('Enter');
  expect((await says(page)).startsWith('Saved'), `it says: ${await says(page)}`);
  const now = text(file);
  for (const want of ['[bank.C1]', 'takeoff = { plus', `size = "${size}"`, 'daily = "8 h"', '"2160 mm"']) {
    expect(now.includes(want), `${want} is not in the file`);
  }
  const changed = before.split('\n').filter((line) => !now.includes(line));
  expect(changed.length <= 4, `lines that are gone: ${changed.join(' / ')}`);
}

// The same by pointer: the box, a size, hours, the month, strings.
async function byPointer({ page, file }) {
  for (const strip of ['leads', 'weights', 'nights']) {
    await after(page, () => page.locator(`details[data-strip=${strip}] > summary`).click());
  }
  const ball = () => page.locator('#weights tbody').innerText();
  const heavy = await ball();
  await page.locator('#weights [data-slide]').scrollIntoViewIfNeeded();
  const box = await page.locator('#weights [data-slide] rect').boundingBox();
  const from = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + 10, from.y, { steps: 3 });
  await page.mouse.move(from.x + 24, from.y, { steps: 3 });
  await idle(page);
  expect((await ball()) !== heavy, 'the ball is told while the box moves');
  await after(page, () => page.mouse.up());
  await after(page, () => page.locator('[data-key="size row plus 2"]').selectOption({ index: 3 }));
  const size = await page.locator('[data-key="size row plus 2"]').inputValue();
  const hours = page.locator('[data-key="hours laptop"]');
  await hours.fill('99');
  await after(page, () => hours.press('Enter'));
  expect((await page.locator('#say.refused').count()) === 1, 'a day of 99 hours is refused');
  await hours.fill('4.5');
  await after(page, () => hours.press('Enter'));
  await after(page, () => page.locator('[data-key=month]').selectOption('6'));
  await page.locator('#nights .big', { hasText: 'In June' }).waitFor();
  await part(page, 'block', 'B2').scrollIntoViewIfNeeded();
  const block = await grip(part(page, 'block', 'B2'), 'block');
  await after(page, () => page.mouse.click(block.x, block.y));
  await after(page, () => page.locator('[data-key=away]').click());
  expect((await page.locator('#plan [data-block]').count()) === 4, 'string B is away');
  await after(page, () => page.locator('[data-key=undo]').click());
  await after(page, () => page.locator('[data-key=save]').click());
  const now = text(file);
  for (const want of [`size = "${size}"`, 'daily = "4.5 h"']) {
    expect(now.includes(want), `${want} is not in the file`);
  }
  expect(!now.includes('behind_ball = "2.15 m"'), 'the box lies elsewhere');
}

// A string that is added where blocks lie by hand lies on none of them.
async function more({ page }) {
  const from = await grip(part(page, 'block', 'C1'), 'block');
  await drag(page, from, { x: from.x + 24, y: from.y });
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('+'));
  expect((await page.locator('#plan [data-block]').count()) === 8, 'eight blocks');
  expect((await says(page)).includes('beside it'), `it says: ${await says(page)}`);
  expect(
    (await page.locator('.note', { hasText: 'in one another' }).count()) === 0,
    'none lies on another',
  );
  await page.locator('#plan [data-block="A2"]').focus();
  await after(page, () => page.keyboard.press('Delete'));
  expect((await page.locator('#plan [data-block]').count()) === 6, 'string A is away');
}

// A what-if that was open when the program was killed is open again.
async function whatIf({ page, child, again }) {
  await after(page, () => page.locator('[data-key=copy]').click());
  await page.locator('#plan [data-block="C1"]').focus();
  await after(page, () => page.keyboard.press('t'));
  const differs = await page.locator('#compare').innerText();
  child.kill('SIGKILL');
  const second = await again();
  await after(second.page, () => second.page.locator('[data-key=restore]').click());
  expect((await second.page.locator('#compare').innerText()) === differs, 'the same differences');
  await after(second.page, () => second.page.locator('[data-key=swap]').click());
  await after(second.page, () => second.page.locator('[data-key=copy]').click());
}

// A hand that moves is told lengths at a glance; one that rests is told what will be put down.
async function rested({ page }) {
  await after(page, () => page.locator('details[data-strip=leads] > summary').click());
  const asked = [];
  page.on('request', (request) => request.method() === 'POST' && asked.push(JSON.parse(request.postData())));
  await page.evaluate(() => scrollTo(0, 0));
  const from = await grip(part(page, 'block', 'C1'), 'block');
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + 60, from.y + 50, { steps: 8 });
  await idle(page);
  expect(asked.length > 0, 'the block is in hand');
  expect(!asked.some((wish) => wish.rest), 'the hand has not rested yet');
  await page.waitForFunction(() => performance.now() > (window.until ??= performance.now() + 400));
  await idle(page);
  expect(asked.filter((wish) => wish.rest).length === 1, 'a hand that rests is answered in full, once');
  const leads = () => page.locator('#leads').innerText();
  const shown = await leads();
  expect(!shown.includes('about'), 'no length is left uncertain');
  await after(page, () => page.mouse.up());
  expect((await leads()) === shown, 'what was shown is what is put down');
}

// A note on every post has a line to one of them, and dots on all while it is in hand.
async function pointed({ page }) {
  const note = page.locator('article.note', { hasText: 'what lies on any of the 12 posts' });
  const dots = () => page.locator('#leaders .dot.active').count();
  await page.mouse.move(2, 2);
  await page.locator('#leaders .line').first().waitFor({ state: 'attached' });
  expect((await dots()) === 0, 'no note is in hand');
  await note.hover();
  await page.waitForFunction(() => document.querySelectorAll('#leaders .dot.active').length === 12);
  const off = await page.evaluate(() => {
    const middle = ({ left, top, width, height }) => [left + width / 2, top + height / 2];
    const all = (selector) => [...document.querySelectorAll(selector)].map((e) => middle(e.getBoundingClientRect()));
    const studs = all('#plan [data-post] circle:first-of-type');
    const near = ([x, y]) => studs.some(([a, b]) => Math.hypot(x - a, y - b) < 1);
    return all('#leaders .dot.active').filter((dot) => !near(dot)).length;
  });
  expect(off === 0, `${off} dots lie beside their posts`);
}

// Parts that stick out of the screen without a frame of their own to scroll in.
const stickingOut = (page) =>
  page.evaluate(() => {
    const all = [...document.querySelectorAll('main *')].filter((element) => {
      const box = element.getBoundingClientRect();
      const hidden = element.closest('.away, .skip') || box.width === 0;
      return box.right > innerWidth + 1 && !hidden && !element.closest('.scroll, .picture, pre');
    });
    return all.map((e) => `${e.tagName} ${e.className.baseVal ?? e.className}`).slice(0, 5);
  });

// One finger from place to place, in steps.
async function swipe(page, from, to) {
  const touch = await page.context().newCDPSession(page);
  const at = (type, points) => touch.send('Input.dispatchTouchEvent', { type, touchPoints: points });
  await at('touchStart', [from]);
  for (let n = 1; n <= 6; n += 1) {
    const along = (a, b) => a + ((b - a) * n) / 6;
    await at('touchMove', [{ x: along(from.x, to.x), y: along(from.y, to.y) }]);
    await page.waitForTimeout(16);
  }
  await at('touchEnd', []);
  await idle(page);
}

async function phone({ page, file }) {
  const before = text(file);
  for (const strip of ['share', 'leads', 'weights', 'nights', 'shopping', 'steps', 'keys']) {
    const summary = page.locator(`details[data-strip=${strip}] > summary`);
    if (strip !== 'share') await after(page, () => summary.tap());
    await page.waitForTimeout(100);
    const [wide, has] = await page.evaluate(() => [
      document.documentElement.scrollWidth,
      document.documentElement.clientWidth,
    ]);
    expect(wide <= has, `with ${strip} the sheet is ${wide} px wide on a phone of ${has}`);
    const out = await stickingOut(page);
    expect(out.length === 0, `with ${strip} these stick out: ${out.join(', ')}`);
    await after(page, () => summary.tap());
  }
  const held = await page.locator('#plan .picture').evaluate((e) => [e.scrollWidth, e.clientWidth]);
  const told = await page.locator('#plan .wider').count();
  expect(held[0] <= held[1] + 1 || told === 1, 'a plan wider than the screen says so');
  const c1 = part(page, 'block', 'C1');
  await c1.scrollIntoViewIfNeeded();
  const from = await grip(c1, 'block');
  await swipe(page, from, { x: from.x, y: from.y - 60 });
  expect((await page.locator('[data-key=undo]').textContent()) === 'Undo', 'a swipe moves no block');
  await c1.scrollIntoViewIfNeeded();
  const there = await grip(c1, 'block');
  await page.touchscreen.tap(there.x, there.y);
  await idle(page);
  await page.locator('#thing', { hasText: 'Block C1' }).waitFor();
  const hold = await grip(c1, 'block');
  await swipe(page, hold, { x: hold.x + 14, y: hold.y + 2 });
  expect((await page.locator('[data-key=undo]').textContent()).includes('(1)'), 'one step to undo');
  await after(page, () => page.locator('[data-key=save]').tap());
  expect(text(file) !== before && text(file).includes('[bank.C1]'), 'moved by a finger, and saved');
}

const PARTS = {
  'page: drag, turn, undo, save with comments kept': dragged,
  'page: a clash is told while it happens': clash,
  'page: a hand that rests is answered in full': rested,
  'page: a note points at all it speaks of': pointed,
  'page: the take-off is moved by dragging': takeOff,
  'page: the same by keys alone': byKeys,
  'page: work is restored after a kill': killed,
  'page: a file somebody changed is kept beside': conflict,
  'page: box, sizes, hours, month and strings by pointer': byPointer,
  'page: one string more finds its place, any can go': more,
  'page: a what-if is restored after a kill': whatIf,
};

// Those that begin otherwise: without a rig, or on a phone.
const OTHERS = {
  'page: from the start page to the saved file by keys alone': [keysOnly, { empty: true }],
  'page: a phone shows the sheet and moves a block by touch': [phone, { phone: true }],
};

async function run(browser, name, check, { empty = false, phone = false } = {}) {
  const stem = name.replace(/^page: /, '').replace(/[^a-z]+/g, '-');
  const served = [];
  const open = async (path) => {
    const one = await serve(stem, path, empty);
    served.push(one.child);
    const touch = { viewport: PHONE, hasTouch: true, isMobile: true };
    const context = await browser.newContext(phone ? touch : { viewport: DESK });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    const faults = listen(page);
    await page.goto(one.address);
    if (!empty) await ready(page);
    return { ...one, page, faults };
  };
  try {
    const first = await open(null);
    await check({ ...first, again: () => open(first.file) });
    await first.page.screenshot({ path: join(shots, `page-${stem}.png`) }).catch(() => {});
    expect(first.faults.length === 0, `the browser complains: ${first.faults.join('; ')}`);
    console.log(`ok   ${name}`);
  } catch (fault) {
    console.log(`FAIL ${name}: ${String(fault.message).split('\n')[0]}`);
  } finally {
    for (const child of served) child.kill('SIGKILL');
  }
}

emptied(folder, shots);
const browser = await launched(browserName);
for (const [name, check] of Object.entries(PARTS)) await run(browser, name, check);
for (const [name, [check, how]] of Object.entries(OTHERS)) await run(browser, name, check, how);
await browser.close();
