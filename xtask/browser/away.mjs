// What leaves the page and what comes back: every file is fetched and looked into, the copy for the
// driveway is filled in, and its readings are read in by the page and by `prove`.
//
//     node away.mjs BROWSER PROGRAM FOLDER SHOTS RIG...
//
// Each part works on its own copy of a RIG in FOLDER. One line a check: `ok   NAME` or `FAIL NAME: WHY`.

import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { PATIENCE_MS, after, emptied, expect, launched, listen, ready, says, serve, strip } from './served.mjs';

const [browserName, program, folder, shots, ...rigs] = process.argv.slice(2);
const DESK = { width: 1440, height: 960 };
const PHONE = { width: 360, height: 740 };
// Sheets of paper as poppler tells them, upright [pt].
const PAPERS = { letter: [612, 792], a4: [595, 842] };
// What the page says to each verdict of `prove --json`.
const VERDICTS = { good: 'GOOD', good_as_far: 'GOOD as far', remake: 'PUT RIGHT', stop: 'STOP' };
const LARGE_BYTES = 100 * 1024 * 1024;

const bankwright = (...words) =>
  execFileSync(resolve(program), words, { encoding: 'utf8', maxBuffer: 1 << 28 });

// Saves what a click hands over.
async function fetched(page, what, into) {
  const [download] = await Promise.all([page.waitForEvent('download'), what()]);
  const path = join(into, download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

// The first line of the paper: how many sheets, how large.
function sheets(path) {
  const told = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
  const [, pages] = /Pages:\s+(\d+)/.exec(told);
  const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(told);
  return { pages: Number(pages), size: [Number(width), Number(height)].sort((a, b) => a - b) };
}

// Rows of a table whose cells may stand in quotes.
function table(text) {
  const rows = text.trim().split(/\r?\n/).map((line) =>
    [...line.matchAll(/(?:"((?:[^"]|"")*)"|([^,]*))(?:,|$)/g)].map((m) => (m[1] ?? m[2]).replaceAll('""', '"')));
  const [names, ...rest] = rows;
  return rest.map((row) => Object.fromEntries(names.map((name, n) => [name, row[n]])));
}

const LOOKS = {
  async html(path, page) {
    const other = await page.context().newPage();
    const faults = [];
    other.on('console', (m) => { if (['error', 'warning'].includes(m.type())) faults.push(m.text()); });
    other.on('pageerror', (e) => faults.push(e.message));
    await other.goto(pathToFileURL(resolve(path)).href);
    const words = await other.evaluate(() => document.body.innerText.length);
    await other.close();
    expect(words > 500, `${basename(path)} holds ${words} signs`);
    expect(faults.length === 0, `${basename(path)}: ${faults.join('; ')}`);
  },
  async svg(path, page) {
    // On a page of its own: the sheet's policy allows no style that stands in a file.
    const other = await page.context().newPage();
    const root = await other.evaluate((text) => {
      const read = new DOMParser().parseFromString(text, 'image/svg+xml');
      return read.querySelector('parsererror') ? 'broken' : read.documentElement.nodeName;
    }, readFileSync(path, 'utf8'));
    await other.close();
    expect(root === 'svg', `${basename(path)} is ${root}`);
  },
  pdf(path) {
    const { pages, size } = sheets(path);
    const want = PAPERS[path.includes('-letter.pdf') ? 'letter' : 'a4'];
    expect(pages > 0, `${basename(path)} has no sheet`);
    expect(size.every((s, n) => Math.abs(s - want[n]) < 1), `${basename(path)} is ${size} pt`);
  },
  dxf(path) {
    const lines = readFileSync(path, 'utf8').trim().split(/\r?\n/).map((l) => l.trim());
    expect(lines[0] === '0' && lines[1] === 'SECTION', `${basename(path)} begins ${lines[1]}`);
    expect(lines.at(-1) === 'EOF', `${basename(path)} ends ${lines.at(-1)}`);
  },
  csv(path, page, file) {
    const rows = table(readFileSync(path, 'utf8'));
    const sum = (kind) => rows.filter((r) => r.what === kind)
      .reduce((all, r) => all + Number(r.count) * Number(r.length_mm), 0);
    const { cutting } = JSON.parse(bankwright('leads', file, '--json'));
    const pieces = cutting.pieces.reduce((all, p) => all + p.length_mm, 0);
    for (const [kind, want] of [['buy', cutting.bought_mm], ['left', cutting.waste_mm], ['piece', pieces]]) {
      expect(sum(kind) === want, `${kind} adds up to ${sum(kind)} mm, leads --json says ${want}`);
    }
  },
};

async function takenAway({ page, file, into }) {
  const before = readdirSync(join(folder, into)).length;
  await strip(page, 'take-away');
  const links = page.locator('#take-away a');
  const count = await links.count();
  const ends = new Set();
  const names = new Set();
  for (let n = 0; n < count; n += 1) {
    const path = await fetched(page, () => links.nth(n).click(), shots);
    const end = path.split('.').pop();
    expect(!names.has(path), `two files are called ${basename(path)}`);
    names.add(path);
    ends.add(end);
    expect(statSync(path).size > 0, `${basename(path)} is empty`);
    await LOOKS[end](path, page, file);
  }
  expect([...ends].sort().join() === 'csv,dxf,html,pdf,svg', `there are ${[...ends]}`);
  expect(readdirSync(join(folder, into)).length === before, 'something was written beside the design');
}

// The copy for the driveway of the stage that is shown, filled in on a phone; its readings file.
async function filledIn(browser, page, into) {
  const copy = await fetched(page, () => page.locator('#take-away a[href$="phone.html"]').click(), into);
  const context = await browser.newContext({ viewport: PHONE, acceptDownloads: true });
  const phone = await context.newPage();
  await phone.goto(pathToFileURL(resolve(copy)).href);
  const counts = await phone.evaluate(() => {
    for (const part of document.querySelectorAll('details')) part.open = true;
    const fill = (input, value) => {
      if (input.type === 'checkbox') input.checked = true;
      else input.value = value;
      input.dispatchEvent(new Event('input', { bubbles: true }));
    };
    const all = (what) => [...document.querySelectorAll(`input[data-${what}]`)];
    for (const input of all('reading')) {
      const { low, high } = input.dataset;
      const known = [low, high].filter((v) => v !== undefined).map(Number);
      const middle = known.reduce((a, b) => a + b, 0) / Math.max(known.length, 1);
      fill(input, String(Number(middle.toFixed(4)) || 1));
    }
    all('tick').forEach((input) => fill(input));
    all('torque').forEach((input) => fill(input, '11'));
    all('blank').forEach((input, n) => fill(input, `written ${n}, "so" \\ <b>`));
    const day = { date: '2026-05-03', by: 'R. Alder', meter: 'hand meter', temperature: '14 C', rested: '5 h', test: '45 A', charge: '40 A', notes: 'a dry day' };
    all('day').forEach((input) => fill(input, day[input.dataset.day]));
    return { readings: all('reading').length, ticks: all('tick').length, torque: all('torque').length };
  });
  const path = await fetched(phone, () => phone.click('#readings'), into);
  await context.close();
  return { path, counts };
}

async function roundTrip({ page, file, into, browser }) {
  await strip(page, 'take-away');
  await strip(page, 'proved');
  const stages = await page.locator('.stages button').evaluateAll((all) => all.map((b) => b.dataset.key));
  for (const key of stages) {
    const stage = key.replace(/^stage /, '');
    await after(page, () => page.locator(`[data-key="${key}"]`).click());
    const { path, counts } = await filledIn(browser, page, join(folder, into));
    const told = JSON.parse(bankwright('prove', file, path, '--stage', stage, '--json'));
    const faults = told.readings_faults.map((f) => f.says);
    expect(faults.length === 0 && told.unknown.length === 0, `${stage}: prove says ${faults.slice(0, 3).join(' / ')}`);
    const known = told.read_count - told.from_design_count + told.not_judged.length;
    expect(known === counts.readings, `${stage}: ${counts.readings} readings were typed, prove knows ${known}`);
    await page.setInputFiles('[data-readings]', path);
    await page.locator('#say', { hasText: 'Read in from' }).waitFor();
    const said = await says(page);
    const want = [[counts.readings, 'reading'], [counts.torque, 'post'], [counts.ticks, 'tick']];
    for (const [count, word] of want.filter(([n]) => n > 0)) {
      expect(said.includes(`${count} ${word}`), `${stage}: of ${count} ${word}s the page says: ${said}`);
    }
    const html = await page.locator('#proved').innerText();
    expect(!html.includes('Not understood'), `${stage}: the page does not understand a line of it`);
    if (told.read_count > 0) {
      const verdict = await page.locator('#proved .big').innerText();
      expect(verdict.startsWith(VERDICTS[told.verdict]), `${stage}: the page says ${verdict}, prove says ${told.verdict}`);
    }
    rmSync(path);
    await after(page, () => page.locator('[data-key="drop-readings"]').click());
  }
}

// A file dropped on the sheet, away from the field.
async function drop(page, files) {
  const carried = await page.evaluateHandle((all) => {
    const carried = new DataTransfer();
    for (const [name, bytes] of all) carried.items.add(new File([new Uint8Array(bytes)], name));
    return carried;
  }, files.map(([name, text]) => [name, [...Buffer.from(text)]]));
  await page.dispatchEvent('#plan', 'drop', { dataTransfer: carried });
}

async function badFiles({ page, into }) {
  await strip(page, 'proved');
  await drop(page, [['good.toml', 'A1 = "6.31 V"\n']]);
  await page.locator('#say', { hasText: 'Read in from good.toml' }).waitFor();
  await after(page, () => page.locator('[data-key="keep-readings"]').click());
  const there = await page.locator('#proved').innerText();
  const before = readdirSync(join(folder, into));
  const bad = (name, bytes) => {
    const path = join(folder, into, name);
    writeFileSync(path, bytes);
    return path;
  };
  const large = bad('large.toml', '');
  truncateSync(large, LARGE_BYTES);
  const files = [
    [large, 'larger than 256 KB'],
    [bad('picture.png', Buffer.from('89504e470d0a1a0a0000000dff', 'hex')), 'cannot be read as text'],
    [bad('latin.toml', Buffer.from('by = "Andr\xe9"\n', 'latin1')), 'cannot be read as text'],
    [bad('empty.toml', ''), 'could be read in'],
    [bad('words.txt', 'Dear all, the bank looked fine to me.\n'), 'could be read in'],
    [bad('broken.toml', '[read\nA1 = = "6.3 V"\n[[[\n'), 'could be read in'],
    [bad('long.toml', '# nothing\n'.repeat(26_000)), 'could be read in'],
  ];
  for (const [path, words] of files) {
    await page.setInputFiles('[data-readings]', path);
    await page.locator('#say.refused', { hasText: words }).waitFor();
    expect((await page.locator('#proved').innerText()) === there, `${basename(path)} changed what was there`);
    rmSync(path);
  }
  await drop(page, [['a.toml', 'A1 = "6 V"'], ['b.toml', 'A1 = "6 V"']]);
  await page.locator('#say.refused', { hasText: 'one at a time' }).waitFor();
  expect((await page.locator('#proved').innerText()) === there, 'two files changed what was there');
  expect(page.url().startsWith('http://127.0.0.1:'), 'the dropped file took the place of the sheet');
  expect(readdirSync(join(folder, into)).join() === before.join(), 'something was written');
  await page.reload();
  await ready(page);
  expect((await page.locator('#proved').innerText()) === there, 'it is gone after the page was loaded again');
}

const PARTS = { 'taken away': takenAway, 'there and back': roundTrip, 'files that are none': badFiles };

async function run(browser, name, rig, check) {
  const demo = basename(rig, '.toml');
  const into = `${name.replaceAll(' ', '-')}-${demo}`;
  mkdirSync(join(folder, into), { recursive: true });
  const file = join(folder, into, basename(rig));
  copyFileSync(rig, file);
  let child = null;
  try {
    const served = await serve(program, { file });
    child = served.child;
    const context = await browser.newContext({ viewport: DESK, acceptDownloads: true });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    const faults = listen(page);
    await page.goto(served.address);
    await ready(page);
    await check({ page, file, into, browser });
    await page.screenshot({ path: join(shots, `away-${into}.png`), fullPage: true });
    expect(faults.length === 0, `the browser complains: ${faults.join('; ')}`);
    await context.close();
    console.log(`ok   page: ${name}, ${demo}`);
  } catch (fault) {
    console.log(`FAIL page: ${name}, ${demo}: ${String(fault.message).split('\n')[0]}`);
  } finally {
    child?.kill('SIGKILL');
  }
}

emptied(folder, shots);
const browser = await launched(browserName);
for (const [name, check] of Object.entries(PARTS)) {
  const some = check === badFiles ? rigs.slice(0, 1) : rigs;
  for (const rig of some) await run(browser, name, rig, check);
}
await browser.close();
