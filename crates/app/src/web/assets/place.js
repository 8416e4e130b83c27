// Places a piece that came back: what is as it was stays where it stands, with its focus and its scroll,
// and only what differs is put in its place.

export function placeIn(element, html) {
  const fresh = document.createElement('template');
  fresh.innerHTML = html;
  placeChildren(element, fresh.content);
}

// A part of a piece, which takes the place of the one of its id.
export function placePart(there, html) {
  const fresh = document.createElement('template');
  const drawn = there instanceof SVGElement;
  fresh.innerHTML = drawn ? `<svg>${html}</svg>` : html;
  placeNode(there, (drawn ? fresh.content.firstChild : fresh.content).firstElementChild);
}

function placeChildren(old, fresh) {
  const before = [...old.childNodes];
  const after = [...fresh.childNodes];
  after.forEach((node, at) => {
    const there = before[at];
    if (!there) old.append(node);
    else if (!there.isEqualNode(node)) placeNode(there, node);
  });
  for (const node of before.slice(after.length)) node.remove();
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
