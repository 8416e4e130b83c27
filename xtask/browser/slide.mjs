// The box is dragged on the side view of a van, and across and along a boat: what the axles carry and how
// the boat lists and trims follows the hand, is saved as it was shown, and comes back with an undo.
//
//     node slide.mjs BROWSER PROGRAM FOLDER SHOTS VAN BOAT
//
// One line a check: `ok   NAME` or `FAIL NAME: WHY`. Pictures go to SHOTS.

import { readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { PATIENCE_MS, after, emptied, expect, idle, launched, listen, ready, says, serve, strip } from './served.mjs';

const [browserName, program, folder, shots, van, boat] = process.argv.slice(2);
const DESK = { width: 1280, height: 900 };

// What is told of the weights, without the picture.
const told = (page) =>
  page.locator('#weights').evaluate((all) =>
    [...all.querySelectorAll('table, p')].map((e) => e.innerText).filter((t) => /kg|list|trim/i.test(t)).join('\n'));

// Figures of a row or a sentence, in their order.
const figures = (words) => (words.match(/\d+(?:\.\d+)?/g) ?? []).map(Number);

async function pulled(page, [x, y], way = '[data-slide]') {
  const box = page.locator(`#weights ${way}`);
  await box.scrollIntoViewIfNeeded();
  const at = await box.locator('rect').first().boundingBox();
  const from = { x: at.x + at.width / 2, y: at.y + at.height / 2 };
  const perMm = Math.abs(Number(await box.getAttribute('data-per-mm')));
  const paper = await box.evaluate((e) => {
    const svg = e.ownerSVGElement;
    return svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
  });
  const px = perMm * paper;
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  for (const part of [0.2, 0.5, 0.8, 1]) await page.mouse.move(from.x + x * px * part, from.y + y * px * part);
  await idle(page);
}

// The row of the stage that is built, with figures that are read: ball, axles, gross.
const row = (words, stage) => figures(words.split('\n').find((line) => line.startsWith(stage)).slice(stage.length));

async function inAVan({ page, file }) {
  const before = row(await told(page), 'bank');
  const away = 600;
  await pulled(page, [away, 0]);
  const trying = row(await told(page), 'bank');
  const moved = trying.map((figure, n) => figure - before[n]);
  expect(moved[0] !== 0 && moved[0] === -moved[1], `the axles take over from one another: ${moved}`);
  expect(moved[2] === 0, `the van is as heavy as before: ${moved}`);
  expect(readFileSync(file, 'utf8').includes('behind_front_axle = "3 m"'), 'nothing is written while it moves');
  await after(page, () => page.mouse.up());
  const down = row(await told(page), 'bank');
  expect(String(down) === String(trying), `put down ${down}, shown ${trying}`);
  await after(page, () => page.locator('[data-key=save]').click());
  expect((await says(page)).startsWith('Saved'), `it says: ${await says(page)}`);
  const at = Number(/behind_front_axle = "(\d+) mm"/.exec(readFileSync(file, 'utf8'))?.[1]);
  expect(Math.abs(Math.abs(at - 3000) - away) <= 30, `pulled by ${away}, it lies at ${at}`);
  // Hand worked: 64 kg on a wheelbase of 4000 mm, the rear axle gains 64 * (at - 3000) / 4000.
  const want = Math.round(1748 + (64 * (at - 3000)) / 4000);
  expect(Math.abs(down[1] - want) <= 1, `the rear axle carries ${down[1]}, worked by hand ${want}`);
  await after(page, () => page.locator('[data-key=undo]').click());
  expect(String(row(await told(page), 'bank')) === String(before), 'undone, it is as it was');
}

async function acrossABoat({ page, file }) {
  const list = async () => /List: (\d+) kg m to (port|starboard)/.exec((await told(page)).replaceAll('\u00a0', ' '));
  const before = await list();
  expect(before, `the list is told: ${await told(page)}`);
  await pulled(page, [-500, 0]);
  const trying = await list();
  expect(trying && trying[0] !== before[0], `the list follows the hand: ${before[0]}, ${trying?.[0]}`);
  await after(page, () => page.mouse.up());
  expect((await list())[0] === trying[0], 'put down as it was shown');
  await after(page, () => page.locator('[data-key=save]').click());
  const at = /off_centre = "(-?\d+) mm"/.exec(readFileSync(file, 'utf8'))?.[1];
  expect(Math.abs(Math.abs(Number(at) - 750) - 500) <= 30, `pulled by half a metre, it lies at ${at}`);
  await after(page, () => page.locator('[data-key=undo]').click());
  expect((await list())[0] === before[0], 'undone, it is as it was');
}

const TRIM = /Trim: (\d+) kg m by the (bow|stern)/;

async function alongABoat({ page, file }) {
  const trim = async () => TRIM.exec((await told(page)).replaceAll('\u00a0', ' '));
  const before = await trim();
  expect(before, `the trim is told: ${await told(page)}`);
  await pulled(page, [700, 0], '[data-slide="box"]');
  const trying = await trim();
  expect(trying && trying[0] !== before[0], `the trim follows the hand: ${before[0]}, ${trying?.[0]}`);
  await after(page, () => page.mouse.up());
  expect((await trim())[0] === trying[0], 'put down as it was shown');
  await after(page, () => page.locator('[data-key=save]').click());
  const at = Number(/ahead_of_middle = "(-?\d+) mm"/.exec(readFileSync(file, 'utf8'))?.[1]);
  expect(Math.abs(Math.abs(at + 5000) - 700) <= 30, `pulled by 700 mm, it lies at ${at}`);
}

// A boat whose box is placed along her as well.
const placedAlong = (text) => {
  expect(text.includes('off_centre = "0.75 m"'), 'the box of the boat lies off the middle');
  return text
    .replace('off_centre = "0.75 m"', 'off_centre = "0.75 m"\nahead_of_middle = "-5 m"')
    .replace('off_centre = "0 m"', 'off_centre = "0 m"\nahead_of_middle = "-6 m"');
};

emptied(folder, shots);
const browser = await launched(browserName);
const asItIs = (text) => text;
for (const [name, rig, check, made] of [
  ['page: the box is dragged along a van', van, inAVan, asItIs],
  ['page: the box is dragged across a boat', boat, acrossABoat, asItIs],
  ['page: the box is dragged along a boat', boat, alongABoat, placedAlong],
]) {
  // A file of its own: what one leaves unsaved is not offered to the next.
  const file = join(folder, `${check.name}-${basename(rig)}`);
  writeFileSync(file, made(readFileSync(rig, 'utf8')));
  const { child, address } = await serve(program, { file });
  try {
    const page = await (await browser.newContext({ viewport: DESK })).newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    const faults = listen(page);
    await page.goto(address);
    await ready(page);
    await strip(page, 'weights');
    await check({ page, file });
    await page.screenshot({ path: join(shots, `${name.replace(/^page: /, '').replaceAll(' ', '-')}.png`), fullPage: true });
    expect(faults.length === 0, `the browser complains: ${faults.join('; ')}`);
    console.log(`ok   ${name}`);
  } catch (fault) {
    console.log(`FAIL ${name}: ${String(fault.message).split('\n')[0]}`);
  } finally {
    child.kill('SIGKILL');
  }
}
await browser.close();
