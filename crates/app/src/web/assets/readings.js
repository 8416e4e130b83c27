// Readings read in: a file chosen or dropped on the sheet. It is looked at here first, so that nothing
// large and nothing that is no text is sent.

import { say, send } from '/send.js';

// The program behind the page has the same limit.
const LARGEST = 256 * 1024;

export function takeReadings() {
  document.addEventListener('change', (event) => {
    const field = event.target.closest?.('[data-readings]');
    if (!field?.files.length) return;
    bring(field.files);
    // The same file may be chosen again after it was mended.
    field.value = '';
  });
  // A file that misses the field must not take the sheet's place in the window.
  document.addEventListener('dragover', (event) => {
    if (carriesFiles(event)) event.preventDefault();
  });
  document.addEventListener('drop', (event) => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    bring(event.dataTransfer.files);
  });
}

const carriesFiles = (event) => event.dataTransfer?.types.includes('Files') ?? false;

async function bring(files) {
  const [file] = files;
  const refuse = (why) => say(`${why} Nothing was read in and nothing was changed.`, true);
  if (!file) return refuse('That is no file.');
  if (files.length > 1) return refuse(`Those are ${files.length} files. Bring one at a time.`);
  if (file.size > LARGEST) {
    return refuse(`${file.name} is no file of readings: it is larger than ${LARGEST / 1024} KB.`);
  }
  let text = '';
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
  } catch {
    return refuse(`${file.name} cannot be read as text. Save it as UTF-8, TOML or CSV.`);
  }
  document.querySelector('details[data-strip="proved"]').open = true;
  return send({ do: 'readings', name: file.name.slice(0, 100), text });
}
