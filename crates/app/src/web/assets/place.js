// Places a piece that came back: what is as it was stays where it stands, with its focus and its scroll,
// and only what differs is put in its place.

export function placeIn(element, html) {
  const fresh = document.createElement('template');
  fresh.innerHTML = html;
  placeChildren(element, fresh.content);
}

// Parts of pieces, each of which takes the place of the one of its id. They are read all at once.
export function placeParts(parts) {
  const drawn = parts.filter(({ id }) => document.getElementById(id) instanceof SVGElement);
  const written = parts.filter((part) => !drawn.includes(part));
  for (const [some, before, after] of [[drawn, '<svg>', '</svg>'], [written, '', '']]) {
    if (some.length === 0) continue;
    const fresh = document.createElement('template');
    fresh.innerHTML = before + some.map(({ html }) => html).join('') + after;
    const nodes = [...(before ? fresh.content.firstChild : fresh.content).children];
    some.forEach(({ id }, at) => placeNode(document.getElementById(id), nodes[at]));
  }
}

// Nodes with an id, and parts that are named only because they are as they were (`data-was`), are found by
// it wherever they stand now; all others by their place.
function placeChildren(old, fresh) {
  const nodes = [...fresh.childNodes];
  const idOf = (node) => node.dataset?.was ?? node.id;
  const wanted = new Set(nodes.map(idOf));
  let here = old.firstChild;
  for (const node of nodes) {
    // What goes makes room, so that what comes after it can stay.
    while (here?.id && !wanted.has(here.id)) here = removed(here);
    const id = idOf(node);
    const there = id && here?.id !== id ? document.getElementById(id) : null;
    if (there?.parentNode === old) here = old.insertBefore(there, here);
    const next = here?.nextSibling ?? null;
    if (node.dataset?.was) here = next;
    else if (here && (!here.id || here.id === id)) {
      if (!here.isEqualNode(node)) placeNode(here, node);
      here = next;
    } else old.insertBefore(node, here);
  }
  while (here) here = removed(here);
}

function removed(node) {
  const next = node.nextSibling;
  node.remove();
  return next;
}

function placeNode(there, node) {
  const alike =
    there.nodeType === Node.ELEMENT_NODE &&
    there.nodeName === node.nodeName &&
    there.id === node.id &&
    there.dataset.key === node.dataset.key &&
    !there.matches('select, input');
  if (!alike) {
    there.replaceWith(node);
    return;
  }
  // What somebody has unfolded stays so.
  const kept = there.nodeName === 'DETAILS' ? 'open' : null;
  for (const { name } of [...there.attributes]) {
    if (name !== kept && !node.hasAttribute(name)) there.removeAttribute(name);
  }
  for (const { name, value } of node.attributes) {
    if (there.getAttribute(name) !== value) there.setAttribute(name, value);
  }
  placeChildren(there, node);
}

// A field shows what the file says, unless somebody is at it.
export function fieldsAsWritten() {
  for (const field of document.querySelectorAll('[data-change]')) {
    if (field === document.activeElement) continue;
    if (field.matches('input')) field.value = field.defaultValue;
    else for (const option of field.options) if (option.defaultSelected) field.value = option.value;
  }
}
