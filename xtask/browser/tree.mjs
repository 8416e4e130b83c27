// What a screen reader is given: the tree that the browser makes of each view. Every control has a role and
// a name that says what it does, no two that do different things have the same; headings and parts come in
// the order in which the sheet is read; a move is told in words, once.
//
//     node tree.mjs BROWSER PROGRAM FOLDER RIG...
//
// The first RIG is looked at in every view. One line a check: `ok   NAME` or `FAIL NAME: WHY`.

import { copyFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { PATIENCE_MS, after, emptied, expect, idle, launched, ready, says, serve, strip } from './served.mjs';

const [browserName, program, folder, ...rigs] = process.argv.slice(2);
const DESK = { width: 1280, height: 900 };
const SHOWN = 4;
const CONTROLS = ['button', 'link', 'textbox', 'spinbutton', 'combobox', 'checkbox', 'DisclosureTriangle', 'radio', 'listbox', 'menuitem'];
// The parts of the sheet as they are read, one after the other.
const ORDER = ['Stages of the work', 'What can be done', 'Plan of the box', 'What you touched', 'What is found'];
const STRIPS = ['share', 'leads', 'weights', 'nights', 'shopping', 'steps', 'proved', 'take-away', 'keys'];

// The tree as a list in the order of reading, without what is passed over.
async function read(page) {
  const cdp = await page.context().newCDPSession(page);
  await cdp.send('Accessibility.enable');
  const { nodes } = await cdp.send('Accessibility.getFullAXTree');
  const known = new Map(nodes.map((node) => [node.nodeId, node]));
  const list = [];
  const walk = (node) => {
    const props = Object.fromEntries((node.properties ?? []).map((p) => [p.name, p.value.value]));
    if (!node.ignored) list.push({ role: node.role?.value ?? '', name: (node.name?.value ?? '').trim(), props, id: node.backendDOMNodeId });
    for (const child of node.childIds ?? []) if (known.has(child)) walk(known.get(child));
  };
  walk(nodes[0]);
  // What the control does, where that is written beside it.
  for (const node of list.filter((n) => CONTROLS.includes(n.role))) {
    const { object } = await cdp.send('DOM.resolveNode', { backendNodeId: node.id });
    const does = await cdp.send('Runtime.callFunctionOn', {
      objectId: object.objectId,
      returnByValue: true,
      functionDeclaration: 'function () { return this.dataset?.do ?? this.dataset?.change ?? this.getAttribute("href") ?? ""; }',
    });
    node.does = does.result.value;
  }
  await cdp.detach();
  return list;
}

function faults(list) {
  const found = [];
  const controls = list.filter((n) => CONTROLS.includes(n.role));
  const names = new Map();
  for (const { role, name, does, props } of controls) {
    // A word, or what stands on the plan: two letters in a row.
    if (!/\p{L}{2}/u.test(name)) found.push(`a ${role} is called "${name}"`);
    const same = names.get(`${role} ${name}`);
    if (same !== undefined && same !== does) found.push(`two of ${role} "${name}" do different things`);
    names.set(`${role} ${name}`, does);
    if (role !== 'DisclosureTriangle' && props.focusable === false) found.push(`${role} "${name}" cannot be reached`);
  }
  for (const { role, name, props } of list) {
    if (props.focusable && !CONTROLS.includes(role) && !name && role !== 'generic') found.push(`a ${role} that is reached has no name`);
    if (['region', 'table', 'image', 'heading', 'group'].includes(role) && !name && role !== 'group') found.push(`a ${role} has no name`);
  }
  const levels = list.filter((n) => n.role === 'heading').map((n) => Number(n.props.level));
  expect(levels[0] === 1, `the first heading is of level ${levels[0]}`);
  levels.forEach((level, at) => {
    if (at > 0 && level > levels[at - 1] + 1) found.push(`a heading of level ${level} follows one of ${levels[at - 1]}`);
  });
  const live = list.filter((n) => n.role === 'status');
  if (live.length > 1) found.push(`${live.length} places speak of themselves`);
  return [controls.length, found];
}

const told = (all) => `${all.slice(0, SHOWN).join('; ')}${all.length > SHOWN ? ` and ${all.length - SHOWN} more` : ''}`;

async function looked(page, most) {
  const list = await read(page);
  const [controls, found] = faults(list);
  expect(controls >= most, `${controls} controls only`);
  expect(found.length === 0, told(found));
  return list;
}

function inOrder(list, names) {
  let from = -1;
  for (const name of names) {
    const at = list.findIndex((n, m) => m > from && n.name === name);
    expect(at > from, `"${name}" does not come in its place`);
    from = at;
  }
}

async function hold(name, work) {
  try {
    await work();
    console.log(`ok   page, read out: ${name}`);
  } catch (fault) {
    console.log(`FAIL page, read out: ${name}: ${String(fault.message).split('\n')[0]}`);
  }
}

// Everything that is said from now on.
const hear = (page) =>
  page.evaluate(() => {
    window.heard = [];
    const place = document.getElementById('say');
    new MutationObserver(() => place.textContent && window.heard.push(place.textContent)).observe(place, { childList: true, characterData: true, subtree: true });
  });

async function moves(page) {
  await hear(page);
  const block = page.locator('#plan [data-block]').last();
  const name = await block.getAttribute('data-block');
  const box = await block.boundingBox();
  const [x, y] = [box.x + 14, box.y + box.height - 10];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let n = 1; n <= 20; n += 1) await page.mouse.move(x + n, y, { steps: 2 });
  await idle(page);
  expect((await page.evaluate(() => window.heard.length)) === 0, 'a hand that moves is not talked over');
  await after(page, () => page.mouse.up());
  const heard = await page.evaluate(() => window.heard);
  expect(heard.length === 1, `a move is told ${heard.length} times`);
  expect(heard[0].startsWith(`Block ${name} lies`) && heard[0].includes('near wall'), `it says "${heard[0]}"`);
  await block.focus();
  await after(page, () => page.keyboard.press('ArrowLeft'));
  expect((await says(page)).startsWith(`Block ${name} lies`), `a step by a key says "${await says(page)}"`);
  await after(page, () => page.keyboard.press('t'));
  expect((await says(page)).startsWith(`Block ${name} is turned`), `a turn says "${await says(page)}"`);
  const { name: own } = (await read(page)).find((n) => n.props.focused && n.role === 'button') ?? {};
  expect(own?.startsWith(`Block ${name}`), `the focus is on "${own}"`);
}

emptied(folder);
const browser = await launched(browserName);
const served = [];
const open = async (options) => {
  const one = await serve(program, options);
  served.push(one.child);
  const page = await (await browser.newContext({ viewport: DESK })).newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  await page.goto(one.address);
  return page;
};
try {
  const begin = await open({ folder });
  await hold('where to begin', async () => {
    const list = await looked(begin, 14);
    inOrder(list, ['Where do you want to begin?', 'With a rig to look at', 'With a new one, from what you own', 'Open the plan']);
  });
  for (const [n, rig] of rigs.entries()) {
    const name = basename(rig, '.toml');
    const file = join(folder, basename(rig));
    copyFileSync(rig, file);
    const page = await open({ file });
    await ready(page);
    await hold(`plan of ${name}`, async () => {
      const list = await looked(page, 30);
      inOrder(list, ORDER);
      const parts = await page.locator('#plan [data-block], #plan [data-post], #plan [data-lead]').count();
      const named = list.filter((l) => /^(Block|Post|Lead|Link) /.test(l.name) && l.role === 'button');
      expect(named.length >= parts, `${named.length} of ${parts} parts of the plan are named`);
    });
    for (const one of STRIPS) {
      await hold(`strip ${one} of ${name}`, async () => {
        await strip(page, one);
        try {
          await looked(page, 30);
        } finally {
          await strip(page, one, false);
        }
      });
    }
    for (const kind of n === 0 ? ['block', 'post', 'lead', 'device'] : ['block', 'lead']) {
      await hold(`${kind} touched, of ${name}`, async () => {
        await page.locator(`#plan [data-${kind}]`).first().focus();
        await after(page, () => page.keyboard.press('Enter'));
        const list = await looked(page, 30);
        inOrder(list, ['What you touched', 'Close', 'What is found']);
        await after(page, () => page.locator('[data-key="leave"]').click());
      });
    }
    await hold(`what if, of ${name}`, async () => {
      await after(page, () => page.locator('[data-key="copy"]').click());
      await page.locator('#plan [data-block]').last().focus();
      await after(page, () => page.keyboard.press('t'));
      await looked(page, 30);
      await after(page, () => page.locator('[data-key="copy"]').click());
    });
    await hold(`a move, of ${name}`, () => moves(page));
  }
} finally {
  for (const child of served) child.kill('SIGKILL');
  await browser.close();
}
