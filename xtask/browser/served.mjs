// What the tests of the page share: the program started on a copy of a rig, a browser on it, and waiting.

import { execFileSync, spawn } from 'node:child_process';
import { mkdirSync, rmSync } from 'node:fs';
import { resolve } from 'node:path';
import { chromium } from 'playwright-core';

// Long enough for a debug build on a busy machine; nothing waits that long when all is well.
export const PATIENCE_MS = 30_000;

// The program, serving a design or nothing yet; it is started in `folder`.
export async function serve(program, { file = null, folder = '.', words = [] } = {}) {
  const named = file ? [resolve(file)] : [];
  const child = spawn(resolve(program), ['open', ...named, '--no-browser', ...words], {
    cwd: folder,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const address = await new Promise((done, fail) => {
    let said = '';
    child.stdout.on('data', (piece) => {
      said += piece;
      if (said.includes('\n')) done(said.split('\n')[0]);
    });
    child.stderr.on('data', (piece) => fail(new Error(String(piece))));
    child.on('exit', () => fail(new Error('it ended by itself')));
  });
  return { child, address, file };
}

export function expect(is, why) {
  if (!is) throw new Error(why);
}

// Everything the browser complains of.
export function listen(page) {
  const faults = [];
  page.on('console', (said) => {
    if (['error', 'warning'].includes(said.type())) faults.push(said.text());
  });
  page.on('pageerror', (fault) => faults.push(fault.message));
  page.on('request', (request) => {
    if (!/^(http:\/\/127\.0\.0\.1:|data:)/.test(request.url())) faults.push(`asks ${request.url()}`);
  });
  return faults;
}

// Until every wish is answered and placed.
export const idle = (page) =>
  page.waitForFunction(() => !document.documentElement.hasAttribute('data-busy'));

export async function ready(page) {
  await page.waitForFunction(() => document.documentElement.dataset.ready === 'yes');
  await idle(page);
}

// Does something and waits for the answer.
export async function after(page, what) {
  await what();
  await idle(page);
}

export const says = (page) => page.locator('#say').textContent();

// Opens or closes a strip and waits for what stands in it.
export async function strip(page, name, open = true) {
  const details = page.locator(`details[data-strip="${name}"]`);
  if ((await details.evaluate((d) => d.open)) === open) return;
  await details.locator('summary').first().click();
  // The browser tells of it a moment later; only then it is asked what stands in the strip.
  await page.waitForFunction(([id, full]) => (document.getElementById(id).childElementCount > 0) === full, [name, open]);
  await idle(page);
}

// Folders made new and empty.
export function emptied(...folders) {
  for (const one of folders) {
    rmSync(one, { recursive: true, force: true });
    mkdirSync(one, { recursive: true });
  }
}

// The browser of that name on this machine.
export function launched(name) {
  const executablePath = execFileSync('sh', ['-c', `command -v ${name}`]).toString().trim();
  const args = ['--no-sandbox', '--disable-gpu', '--disable-background-networking'];
  return chromium.launch({ executablePath, args });
}
