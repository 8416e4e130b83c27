// The copy for the driveway of each demo rig, on a phone 360 pixels wide.
//
//     node phone.mjs BROWSER BOOKS SHOTS DEMO...
//
// It holds: nothing is wider than the phone, at usual and at double lettering; axe-core finds nothing
// against WCAG 2.2 AA; a hand and a keyboard alone tick and type; a figure is held against its band;
// what was written is there after the sheet was closed, and in the copy that was saved; the readings
// file holds it all. It asks for no file but its own and complains of nothing.

import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [browserName, books, shots, ...demos] = process.argv.slice(2);
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const PHONE = { width: 360, height: 740 };

const { execFileSync } = await import('node:child_process');
const executablePath = execFileSync('which', [browserName]).toString().trim();
const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
mkdirSync(shots, { recursive: true });

let demo = '';
const hold = async (name, work) => {
  try {
    await work();
    console.log(`ok   ${name} of ${demo}`);
  } catch (error) {
    console.log(`FAIL ${name} of ${demo}: ${String(error.message ?? error).split('\n').slice(0, 6).join(' / ')}`);
  }
};
const must = (so, why) => { if (!so) throw new Error(why); };

const opened = async (context, file) => {
  const page = await context.newPage();
  const said = [];
  page.on('console', (m) => { if (['error', 'warning'].includes(m.type())) said.push(m.text()); });
  page.on('pageerror', (e) => said.push(e.message));
  page.on('request', (r) => {
    const url = r.url();
    const own = url === pathToFileURL(file).href || url.startsWith('data:') || url.startsWith('blob:');
    if (!own) said.push(`it asks for ${url}`);
  });
  await page.goto(pathToFileURL(file).href);
  return { page, said };
};
const wide = (page) => page.evaluate(() => {
  const most = document.documentElement.clientWidth;
  const out = [...document.body.querySelectorAll('*')].filter((e) => e.checkVisibility()
    && !e.closest('.picture svg') && e.getBoundingClientRect().right > most + 1);
  return out.slice(0, 3).map((e) => `${e.tagName} "${e.textContent.trim().slice(0, 30)}"`);
});
const openAll = (page) => page.evaluate(() => {
  for (const part of document.querySelectorAll('details')) part.open = true;
});
const saved = async (page, button) => {
  const [download] = await Promise.all([page.waitForEvent('download'), page.click(button)]);
  const path = resolve(shots, `${demo}-${download.suggestedFilename()}`);
  await download.saveAs(path);
  return path;
};

for (demo of demos) {
  const file = resolve(join(books, demo, 'phone.html'));
  const context = await browser.newContext({ viewport: PHONE, acceptDownloads: true });
  const { page, said } = await opened(context, file);

  await hold('phone copy, as wide as the phone', async () => {
    await openAll(page);
    const out = await wide(page);
    must(out.length === 0, `wider than the phone: ${out.join('; ')}`);
    await page.screenshot({ path: join(shots, `${demo}-phone.png`), fullPage: true });
    await page.addStyleTag({ content: 'html{font-size:225% !important}' }).catch(() => {});
    const large = await wide(page);
    must(large.length === 0, `at double lettering: ${large.join('; ')}`);
    await page.reload();
  });

  await hold('phone copy, open to everybody', async () => {
    await openAll(page);
    // The sheet lets no foreign script in: axe is put in past its policy, as a reader's own tool is.
    await page.evaluate(AXE);
    const { violations } = await page.evaluate((values) => globalThis.axe.run(document, {
      runOnly: { type: 'tag', values },
    }), RULES);
    const told = violations.map((v) => `${v.id} at ${v.nodes[0].target} (${v.nodes.length})`);
    must(told.length === 0, told.join('; '));
  });

  await hold('phone copy, ticks and readings', async () => {
    await openAll(page);
    const reading = page.locator('input[data-reading][data-low][data-high][data-unit=V]').first();
    const [low, high] = await reading.evaluate((i) => [Number(i.dataset.low), Number(i.dataset.high)]);
    const verdict = reading.locator('xpath=ancestor::div[contains(@class,"reading")][1]').locator('.verdict');
    const says = async (typed, words) => {
      await reading.fill(typed);
      const got = await verdict.textContent();
      must(got.startsWith(words), `"${typed}" against ${low} to ${high}: "${got}", not "${words}"`);
    };
    await says(String(high + 1), 'More than expected');
    await says(`${((low - 1)).toFixed(2).replace('.', ',').replace('-', '\u2212')} V`, 'Less than expected');
    await says(`${((low + high) * 500).toFixed(1)} mV`, 'As expected');
    await says('six', 'Write a figure');
    await says(((low + high) / 2).toFixed(3), 'As expected');
    await page.locator('input[data-day=by]').fill('J. "Q" \\ Wright');
    await page.locator('input[data-torque]').first().fill('12');
    await page.locator('input[data-blank]').first().fill('<b>& "odd" words</b> 水');
  });

  await hold('phone copy, by keyboard alone', async () => {
    await page.reload();
    const summary = page.locator('#steps summary').first();
    await summary.focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Space');
    const ticked = await page.evaluate(() => document.activeElement.matches('input[type=checkbox]:checked'));
    must(ticked, 'Tab and Space tick no line');
    const count = await summary.locator('.done').textContent();
    must(/^(1 of \d+|all done)$/.test(count), `the count says "${count}"`);
  });

  await hold('phone copy, closed and opened again', async () => {
    await page.reload();
    must(await page.locator('input[data-day=by]').inputValue() === 'J. "Q" \\ Wright', 'the name is gone');
    must(await page.locator('input[type=checkbox]:checked').count() === 1, 'the tick is gone');
  });

  await hold('phone copy, the copy that was saved', async () => {
    const copy = await saved(page, '#copy');
    const fresh = await browser.newContext({ viewport: PHONE });
    const other = await opened(fresh, copy);
    await openAll(other.page);
    must(await other.page.locator('input[data-blank]').first().inputValue() === '<b>& "odd" words</b> 水', 'a blank is gone');
    must(await other.page.locator('input[type=checkbox]:checked').count() === 1, 'the tick is gone');
    must(await other.page.locator('input[data-torque]').first().inputValue() === '12', 'the torque is gone');
    must(other.said.length === 0, other.said.join('; '));
    await fresh.close();
  });

  await hold('phone copy, the readings file', async () => {
    const path = await saved(page, '#readings');
    const text = readFileSync(path, 'utf8');
    for (const part of ['[day]', 'by = "J. \\"Q\\" \\\\ Wright"', '[read]', 'torque = "12 ', 'ticks = [', '水']) {
      must(text.includes(part), `${part} is not in ${path}`);
    }
    must(text === await page.locator('#text').inputValue(), 'the text beside it is another one');
  });

  await hold('phone copy, silent', async () => must(said.length === 0, said.join('; ')));
  await context.close();
}
await browser.close();
