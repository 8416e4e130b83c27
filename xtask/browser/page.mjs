// The page as somebody uses it: a block dragged and turned, a lead end moved, undone, saved.
//
//     node page.mjs BROWSER PROGRAM RIG FOLDER SHOTS
//
// Each part works on its own copy of RIG in FOLDER and starts PROGRAM on it. One line a check:
// `ok   NAME` or `FAIL NAME: WHY`. Pictures go to SHOTS.

import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { PATIENCE_MS, after, expect, idle, listen, ready, says, serve as serveFile } from './served.mjs';

const [browserName, program, rig, folder, shots] = process.argv.slice(2);
const DESK = { width: 1440, height: 960 };
const PHONE = { width: 360, height: 740 };

const text = (path) => readFileSync(path, 'utf8');

// A copy of the rig, served.
async function serve(name, path = null) {
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

async function phone({ page }) {
  await page.setViewportSize(PHONE);
  await page.waitForTimeout(400);
  await idle(page);
  const [wide, has] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  expect(wide <= has, `the sheet is ${wide} px wide on a phone of ${has}`);
}

const PARTS = {
  'page: drag, turn, undo, save with comments kept': dragged,
  'page: a clash is told while it happens': clash,
  'page: the take-off is moved by dragging': takeOff,
  'page: the same by keys alone': byKeys,
  'page: work is restored after a kill': killed,
  'page: a file somebody changed is kept beside': conflict,
  'page: a phone shows the sheet': phone,
};

async function run(browser, name, check) {
  const stem = name.replace(/^page: /, '').replace(/[^a-z]+/g, '-');
  const served = [];
  const open = async (path) => {
    const one = await serve(stem, path);
    served.push(one.child);
    const context = await browser.newContext({ viewport: DESK });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    const faults = listen(page);
    await page.goto(one.address);
    await ready(page);
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

rmSync(folder, { recursive: true, force: true });
for (const one of [folder, shots]) mkdirSync(one, { recursive: true });
const executablePath = execFileSync('sh', ['-c', `command -v ${browserName}`]).toString().trim();
const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});
for (const [name, check] of Object.entries(PARTS)) await run(browser, name, check);
await browser.close();
