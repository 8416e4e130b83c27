// Keeps what is ticked and typed on this sheet, and hands it back. It knows no figure of its own:
// a reading is held against the band that stands beside it.
'use strict';
(() => {
  const root = document.documentElement;
  const { rig, stage, revision } = root.dataset;
  const shelf = `bankwright sheet: ${rig} / ${stage} / ${revision}`;
  const KINDS = ['tick', 'blank', 'reading', 'amps', 'torque', 'day'];
  const all = (selector) => [...document.querySelectorAll(selector)];
  const by = (id) => document.getElementById(id);
  const empty = () => Object.fromEntries(KINDS.map((kind) => [kind, {}]));

  // What the file was saved with, then what this browser kept since.
  const known = (value) => {
    const kept = empty();
    if (value === null || typeof value !== 'object') return kept;
    for (const kind of KINDS) {
      for (const [key, said] of Object.entries(value[kind] ?? {})) {
        if (typeof said === 'string' || said === true) kept[kind][key] = said;
      }
    }
    kept.at = typeof value.at === 'number' ? value.at : 0;
    return kept;
  };
  const parsed = (text) => {
    try { return known(JSON.parse(text)); } catch { return known(null); }
  };
  let shelved = true;
  const fromShelf = () => {
    try { return parsed(localStorage.getItem(shelf) ?? 'null'); } catch { shelved = false; return known(null); }
  };
  const inFile = parsed(by('kept').textContent);
  const onShelf = fromShelf();
  let kept = onShelf.at > inFile.at ? onShelf : inFile;

  const keep = () => {
    kept.at = Date.now();
    try { localStorage.setItem(shelf, JSON.stringify(kept)); } catch { shelved = false; }
    by('unkept').hidden = shelved;
  };

  const kindOf = (input) => KINDS.find((kind) => input.dataset[kind] !== undefined);
  const inputs = all('input').filter(kindOf);
  const values = (input) => {
    const kind = kindOf(input);
    return [kind, input.dataset[kind]];
  };

  // A figure as people write it: comma or point, a real minus sign, its unit or none.
  const figure = (words) => {
    const plain = words.trim().replace('\u2212', '-').replace(',', '.');
    const found = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(mV|V|A|kg|lb)?$/i.exec(plain);
    return found ? { value: Number(found[1]), unit: found[2] } : null;
  };
  const SCALE = { 'mV V': 0.001, 'V mV': 1000 };
  const inUnit = (input) => {
    const read = figure(input.value);
    if (!read) return null;
    const wanted = input.dataset.unit;
    if (!read.unit || read.unit.toLowerCase() === wanted.toLowerCase()) return read.value;
    const scale = Object.entries(SCALE).find(([pair]) => pair.toLowerCase() === `${read.unit} ${wanted}`.toLowerCase());
    return scale ? read.value * scale[1] : null;
  };
  const told = (input) => {
    if (input.value.trim() === '') return '';
    const value = inUnit(input);
    if (value === null) return `Write a figure in ${input.dataset.unit}, such as 6.31.`;
    const { low, high } = input.dataset;
    if (high !== undefined && value > Number(high)) return 'More than expected. Stop; do not go on.';
    if (low !== undefined && value < Number(low)) return 'Less than expected. Stop; do not go on.';
    return low === undefined && high === undefined ? 'Written.' : 'As expected.';
  };

  const judge = (input) => {
    if (kindOf(input) !== 'reading') return;
    const verdict = input.closest('.reading').querySelector('.verdict');
    verdict.textContent = told(input);
  };
  const count = (job) => {
    const boxes = [...job.querySelectorAll('input[type=checkbox]')];
    const done = boxes.filter((box) => box.checked).length;
    const words = done === boxes.length ? 'all done' : `${done} of ${boxes.length}`;
    job.querySelector('.done').textContent = boxes.length === 0 ? '' : words;
  };

  const show = () => {
    for (const input of inputs) {
      const [kind, key] = values(input);
      if (input.type === 'checkbox') input.checked = kept[kind][key] === true;
      else input.value = kept[kind][key] ?? '';
      judge(input);
    }
    all('.job').forEach(count);
  };

  const taken = (event) => {
    const input = event.target;
    const kind = input.dataset && kindOf(input);
    if (!kind) return;
    const key = input.dataset[kind];
    const said = input.type === 'checkbox' ? input.checked : input.value;
    if (said === false || said === '') delete kept[kind][key];
    else kept[kind][key] = said;
    judge(input);
    const job = input.closest('.job');
    if (job) count(job);
    keep();
  };

  // --- The readings file -----------------------------------------------------------------------
  const quoted = (words) => {
    const escaped = words.trim().replace(/[\\"]/g, '\\$&').replace(/\s+/g, ' ')
      // eslint-disable-next-line no-control-regex
      .replace(/[\u0000-\u001f\u007f]/g, '');
    return `"${escaped}"`;
  };
  const plain = (name) => name.replace(/\u00a0/g, ' ').replace(/\u2212/g, '-');
  const rows = (kind) => inputs.filter((i) => kindOf(i) === kind && i.type !== 'checkbox' && i.value.trim() !== '');
  const withUnit = (input) => {
    const read = figure(input.value);
    if (!read) return input.value;
    return `${String(read.value)} ${read.unit ?? input.dataset.unit}`;
  };
  const readings = () => {
    const lines = [
      `# ${rig}, stage ${stage}, revision ${revision}: what was read and done, from the copy for the driveway.`,
      '', '[day]',
    ];
    const notes = [];
    for (const input of rows('day')) {
      if (input.dataset.day === 'notes') notes.push(input.value);
      else lines.push(`${input.dataset.day} = ${quoted(plain(input.value))}`);
    }
    for (const input of rows('blank')) notes.push(`${input.dataset.blank.replace(/_+/g, '...')}: ${input.value}`);
    const ticks = inputs.filter((i) => i.type === 'checkbox' && i.checked).map((i) => plain(i.dataset.tick).replace(/_+/g, '...'));
    const list = (name, items) => {
      if (items.length > 0) lines.push(`${name} = [`, ...items.map((item) => `  ${quoted(item)},`), ']');
    };
    list('notes', notes);
    list('ticks', ticks);
    const amps = Object.fromEntries(rows('amps').map((i) => [i.dataset.amps, i.value]));
    lines.push('', '[read]');
    for (const input of rows('reading')) {
      const name = quoted(plain(input.dataset.reading));
      const value = quoted(plain(withUnit(input)));
      const own = figure(amps[input.dataset.reading] ?? '');
      lines.push(own ? `${name} = { value = ${value}, amps = "${own.value} A" }` : `${name} = ${value}`);
    }
    for (const input of rows('torque')) {
      const value = figure(input.value) ? `${String(figure(input.value).value)} ${input.dataset.unit}` : input.value;
      lines.push('', `[post.${quoted(plain(input.dataset.torque))}]`, `torque = ${quoted(plain(value))}`);
    }
    return `${lines.join('\n')}\n`;
  };

  const stem = rig.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '') || 'rig';
  const give = (name, type, text) => {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    by('told').textContent = `Handed to this browser as ${name}.`;
  };
  by('readings').addEventListener('click', () => {
    const text = readings();
    by('text').value = text;
    give(`${stem}-readings.toml`, 'text/plain', text);
  });
  by('copy').addEventListener('click', () => {
    const sheet = root.cloneNode(true);
    // No end of a script may stand inside one.
    sheet.querySelector('#kept').textContent = JSON.stringify(kept).replace(/</g, '\\u003c');
    for (const part of sheet.querySelectorAll('.verdict, .done, #told')) part.textContent = '';
    give(`${stem}-sheet.html`, 'text/html', `<!DOCTYPE html>\n${sheet.outerHTML}`);
  });
  let sure = false;
  by('clear').addEventListener('click', () => {
    if (!sure) {
      sure = true;
      by('told').textContent = 'Press it once more to empty every box on this sheet. What you saved elsewhere stays.';
      return;
    }
    sure = false;
    kept = empty();
    show();
    keep();
    by('told').textContent = 'The sheet is empty.';
  });

  document.addEventListener('input', taken);
  document.addEventListener('change', taken);
  show();
  by('unkept').hidden = shelved;
})();
