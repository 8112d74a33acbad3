// Turns the page that is there into the page that should be there, touching only what differs: what a coach is typing,
// what is open and where the focus is stay as they are.

// What a node is known by, whatever stands before it: its data-key, its id, or for an option its value.
const keyOf = (node) => {
  if (node.nodeType !== 1) return null;
  return node.getAttribute("data-key") || node.id || (node.nodeName === "OPTION" ? `option ${node.getAttribute("value")}` : null);
};
// What the page's own script has put on a node stays on it.
const OURS = new Set(["open", "aria-invalid", "aria-disabled", "hidden", "disabled", "data-typed", "data-restored", "data-once", "data-busy", "data-asked", "data-begun"]);
const alike = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && keyOf(a) === keyOf(b);
const TYPED = new Set(["INPUT", "TEXTAREA", "SELECT"]);

export function morph(root, html) {
  const wanted = document.createElement("template");
  wanted.innerHTML = html;
  children(root, wanted.content);
}

function children(here, wanted) {
  const keyed = new Map();
  for (const node of here.childNodes) if (keyOf(node)) keyed.set(keyOf(node), node);
  let at = here.firstChild;
  for (const want of [...wanted.childNodes]) {
    const key = keyOf(want);
    let match = null;
    if (key && keyed.has(key) && alike(keyed.get(key), want)) match = keyed.get(key);
    else if (!key && at && alike(at, want)) match = at;
    if (match) {
      if (match === at) at = at.nextSibling;
      else here.insertBefore(match, at);
      node(match, want);
    } else {
      here.insertBefore(document.importNode(want, true), at);
    }
  }
  while (at) {
    const next = at.nextSibling;
    at.remove();
    at = next;
  }
}

function node(here, want) {
  if (here.nodeType !== 1) {
    if (here.nodeValue !== want.nodeValue) here.nodeValue = want.nodeValue;
    return;
  }
  if (here.hasAttribute("data-keep")) return; // what the page itself fills, such as the progress of files
  for (const { name } of [...here.attributes]) {
    if (!want.hasAttribute(name) && !OURS.has(name)) here.removeAttribute(name);
  }
  for (const { name, value } of [...want.attributes]) {
    if (name === "open" && here.nodeName === "DETAILS") continue;
    if (here.getAttribute(name) !== value) here.setAttribute(name, value);
  }
  if (TYPED.has(here.nodeName)) {
    input(here, want);
    if (here.nodeName !== "SELECT") return;
  }
  if (here.hasAttribute("data-fault")) return; // words of the last try stay until the next one
  children(here, want);
}

function input(here, want) {
  if (here.dataset.typed || here === document.activeElement) return;
  if (here.type === "checkbox" || here.type === "radio") here.checked = want.checked;
  else if (here.type !== "file" && here.nodeName !== "SELECT" && here.value !== want.value) here.value = want.value;
}
