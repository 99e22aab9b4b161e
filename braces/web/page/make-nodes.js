// Elements built by name; no text is ever read as markup.

const SVG = "http://www.w3.org/2000/svg";

function build(node, marks, inside) {
  for (const [name, value] of Object.entries(marks)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value" && node.localName !== "progress") node.value = value;
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  node.append(...inside.flat(Infinity).filter((n) => n !== null && n !== undefined && n !== false));
  return node;
}

export const h = (name, marks = {}, ...inside) => build(document.createElement(name), marks, inside);
export const s = (name, marks = {}, ...inside) => build(document.createElementNS(SVG, name), marks, inside);
export const by = (id) => document.getElementById(id);

export function fill(node, ...inside) {
  node.replaceChildren(...inside.flat(Infinity).filter(Boolean));
}

// Options of a choice, kept if they are the same, so that an open list does not close.
export function options(select, rows, chosen) {
  const now = JSON.stringify(rows);
  if (select.dataset.rows !== now) {
    select.dataset.rows = now;
    fill(select, rows.map(([value, text]) => h("option", { value }, text)));
  }
  if (chosen !== undefined && select.value !== chosen) select.value = chosen;
}
