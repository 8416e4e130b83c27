// How fast the page follows a hand: from a pointer that moves to the answer on the screen.
//
//     node pace.mjs BROWSER PROGRAM FOLDER RIG...
//
// For each RIG a copy in FOLDER is served and one block is dragged to and fro. A figure is the time from
// the pointer event to the frame in which its answer is painted: from the time stamp that the browser gave
// the last event of the pointer before its wish was sent (`pointerrawupdate` tells of it at once,
// `pointermove` with the next frame; both bear the time at which the pointer moved), over the wish, the
// answer and its placing, to the first task after the frame that paints it. Moves that a newer one overtook
// are not counted, because nobody sees them. `before` is from the event to the wish sent, `answer` to the
// whole answer received, `placing` over its reading to the frame painted. Prints figures and a histogram;
// nothing here can fail on time.

import { spawn } from 'node:child_process';
import { copyFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { emptied, launched } from './served.mjs';

const [browserName, program, folder, ...rigs] = process.argv.slice(2);
const DESK = { width: 1440, height: 960 };
// Moves of one drag, and the time between two: a pointer tells of itself about that often.
const MOVES = 400;
const BETWEEN_MS = 12;
const STARTS = 7;
// What is wished for [ms].
const WANTED = { median: 30, p99: 100, ready: 300 };
const BINS = [8, 16, 24, 32, 48, 64, 100, 200, 400, Infinity];

// Runs in the page before anything else: notes each answered move.
function watch() {
  window.pace = [];
  window.weight = [];
  let moved = 0;
  for (const name of ['pointermove', 'pointerrawupdate']) {
    addEventListener(name, (event) => (moved = Math.max(moved, event.timeStamp)), true);
  }
  const plain = XMLHttpRequest.prototype.send;
  XMLHttpRequest.prototype.send = function (body) {
    const { intent, rest } = JSON.parse(body);
    const from = moved;
    const sent = performance.now();
    let heard = 0;
    // The whole answer is there, and nothing was done with it yet.
    this.addEventListener('readystatechange', () => (heard ||= this.readyState === 4 ? performance.now() : 0));
    if (intent.commit === false && !rest) {
      this.addEventListener('load', () => {
        // The pieces are placed in this task; the frame after it paints them.
        requestAnimationFrame(() => {
          const channel = new MessageChannel();
          channel.port1.onmessage = () => {
            const done = performance.now();
            window.pace.push([done - from, sent - from, heard - sent, done - heard]);
          };
          channel.port2.postMessage(0);
        });
      });
    }
    return plain.call(this, body);
  };
}

function serve(file) {
  const began = Date.now();
  const child = spawn(resolve(program), ['open', file, '--no-browser'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  return new Promise((done, fail) => {
    child.stdout.on('data', (said) => done({ child, began, address: String(said).split('\n')[0] }));
    child.on('exit', () => fail(new Error('it ended by itself')));
  });
}

const idle = (page) =>
  page.waitForFunction(
    () =>
      document.documentElement.dataset.ready === 'yes' &&
      !document.documentElement.hasAttribute('data-busy'),
  );

const at = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
const ms = (value) => value.toFixed(1).padStart(6);

function show(name, all, wanted) {
  const sorted = [...all].sort((a, b) => a - b);
  const beside = wanted ? `   wanted: median ${wanted.median}, p99 ${wanted.p99}` : '';
  console.log(
    `  ${name.padEnd(9)} ${String(sorted.length).padStart(4)} moves, median${ms(at(sorted, 0.5))}` +
      `, p90${ms(at(sorted, 0.9))}, p99${ms(at(sorted, 0.99))}, most${ms(sorted.at(-1))} ms${beside}`,
  );
}

function histogram(all) {
  let low = 0;
  for (const high of BINS) {
    const count = all.filter((v) => low <= v && v < high).length;
    const says = high === Infinity ? `${low} and more` : `${low} to ${high}`;
    const bar = '#'.repeat(Math.ceil((60 * count) / all.length));
    if (count) console.log(`  ${says.padStart(13)} ms ${String(count).padStart(4)} ${bar}`);
    low = high;
  }
}

// One block, to and fro within the box, with the strips named in `open` open.
async function drag(page, open) {
  for (const name of open) {
    await page.locator(`details[data-strip=${name}] > summary`).click();
    await idle(page);
  }
  await page.waitForTimeout(600);
  await idle(page);
  await page.evaluate(() => scrollTo(0, 0));
  const block = page.locator('#plan [data-block]').last();
  const box = await block.boundingBox();
  const [x, y] = [box.x + 14, box.y + box.height - 10];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.evaluate(() => (window.pace.length = 0));
  // A hand does not wait for the screen, so no move waits for the one before it.
  const moves = [];
  for (let n = 1; n <= MOVES; n += 1) {
    const turn = (2 * Math.PI * n) / 130;
    moves.push(page.mouse.move(x + 45 * Math.sin(turn), y - 18 * Math.sin(2.7 * turn)));
    await new Promise((done) => setTimeout(done, BETWEEN_MS));
  }
  await Promise.all(moves);
  await idle(page);
  await page.mouse.up();
  await idle(page);
  await page.waitForTimeout(300);
  const all = await page.evaluate(() => window.pace);
  await page.keyboard.press('Control+z');
  await idle(page);
  return all;
}

async function pace(browser, rig) {
  const file = join(folder, basename(rig));
  copyFileSync(rig, file);
  const { child, address } = await serve(file);
  const context = await browser.newContext({ viewport: DESK });
  const page = await context.newPage();
  await page.addInitScript(watch);
  await page.goto(address);
  await idle(page);
  for (const [says, open] of [
    ['share open, as at first', []],
    ['leads, weights and nights open too', ['leads', 'weights', 'nights']],
  ]) {
    const all = await drag(page, open);
    const blocks = await page.locator('#plan [data-block]').count();
    console.log(`\n${basename(rig)}, ${blocks} blocks, ${says}`);
    show('whole', all.map((m) => m[0]), WANTED);
    for (const [n, name] of ['before', 'answer', 'placing'].entries()) show(name, all.map((m) => m[n + 1]));
    histogram(all.map((m) => m[0]));
  }
  await context.close();
  child.kill('SIGKILL');
}

// From the start of the program to the first paint of the sheet, in a browser that is open.
async function ready(browser, rig) {
  const file = join(folder, basename(rig));
  const painted = [];
  const settled = [];
  for (let n = 0; n < STARTS; n += 1) {
    const context = await browser.newContext({ viewport: DESK });
    const page = await context.newPage();
    const { child, began, address } = await serve(file);
    await page.goto(address);
    await page.locator('#plan [data-block] text').first().waitFor();
    const first = await page.evaluate(
      () =>
        new Promise((done) => {
          const told = (list) => {
            const paint = list.getEntriesByName('first-contentful-paint')[0];
            if (paint) done(performance.timeOrigin + paint.startTime);
          };
          new PerformanceObserver(told).observe({ type: 'paint', buffered: true });
        }),
    );
    await idle(page);
    painted.push(first - began);
    settled.push(Date.now() - began);
    await context.close();
    child.kill('SIGKILL');
  }
  for (const all of [painted, settled]) all.sort((a, b) => a - b);
  console.log(
    `  ${basename(rig).padEnd(18)} painted${ms(at(painted, 0.5))} ms (${ms(painted[0])} to${ms(painted.at(-1))}), ` +
      `at rest${ms(at(settled, 0.5))} ms; wanted: painted ${WANTED.ready}`,
  );
}

// What goes over the wire when the page is opened, by kind.
async function weigh(browser, rig) {
  const { child, address } = await serve(join(folder, basename(rig)));
  const context = await browser.newContext({ viewport: DESK });
  const page = await context.newPage();
  const kinds = new Map();
  page.on('response', async (response) => {
    const kind = (response.headers()['content-type'] ?? 'nothing').split(';')[0];
    const bytes = (await response.body().catch(() => Buffer.alloc(0))).length;
    kinds.set(kind, (kinds.get(kind) ?? 0) + bytes);
  });
  await page.goto(address);
  await idle(page);
  await page.waitForTimeout(200);
  const all = [...kinds].filter(([, bytes]) => bytes).sort();
  const sum = all.reduce((sum, [, bytes]) => sum + bytes, 0);
  const says = all.map(([kind, bytes]) => `${kind} ${(bytes / 1000).toFixed(1)}`).join(', ');
  console.log(`  ${basename(rig).padEnd(18)} ${(sum / 1000).toFixed(1)} kB: ${says}`);
  await context.close();
  child.kill('SIGKILL');
}

emptied(folder);
const browser = await launched(browserName);
for (const rig of rigs) await pace(browser, rig);
console.log(`\npage ready, from the start of the program, median of ${STARTS}`);
for (const rig of rigs) await ready(browser, rig);
console.log('\npage weight when opened [kB]');
for (const rig of rigs) await weigh(browser, rig);
await browser.close();
