// What is made from the design, and its sheets before they are printed.

import { by, fill, h, options } from "./make-nodes.js";
import { picture, tell } from "./talk.js";

let chosen = null;
let paper = "";

export function showMake(page, begun, make) {
  chosen ??= new Set(["templates"]);
  paper ||= begun.papers[0];
  const stop = make.busy || page.state.unsaved || !page.state.sound;
  const why = make.busy ? `making: ${make.step}` :
    page.state.unsaved ? "save first: sheets carry the mark of the file they were made from" :
      page.state.sound ? "" : "mend the problems first";
  fill(
    by("make"),
    h("fieldset", { disabled: make.busy }, h("legend", {}, "What to make"), begun.products.map((p) => h("label", { class: "tick" },
      h("input", { type: "checkbox", checked: chosen.has(p.key), onchange: (e) => (e.target.checked ? chosen.add(p.key) : chosen.delete(p.key)) }), ` ${p.title}`))),
    h("div", { class: "row" },
      h("label", {}, "Paper ", h("select", { onchange: (e) => { paper = e.target.value; } }, begun.papers.map((p) => h("option", { value: p, selected: p === paper }, p)))),
      h("button", { id: "make-now", type: "button", disabled: stop, onclick: () => go(page) }, "Make"),
      make.busy && h("progress", { "aria-label": "Making", max: 1, value: make.share || null })),
    h("p", { class: "note", role: "status", id: "make-said" }, make.failed || why || (make.files.length ? `${make.files.length} files in ${make.folder}` : "")),
    make.files.length > 0 && h("ul", { class: "files" }, make.files.map((f) => h("li", {}, h("a", { href: f.address, target: "_blank", rel: "noopener" }, f.name)))),
    h("p", { class: "note" }, "Edge tools, saws, dust, hot glue and bent go-bars can hurt: follow the makers' instructions and local rules, and protect eyes and lungs."),
  );
}

async function go(page) {
  const answer = await tell("make", { products: [...chosen], paper });
  if (answer.refusal) page.say(answer.refusal, true);
}

let address = "";

export function sheetChoice(page, sheets) {
  options(by("sheet-of"), [["", "none"], ...sheets.map((t) => [t.key, t.title])]);
  by("sheet-of").onchange = () => showSheet(page);
}

// The drawing as it will be printed, of the design as it stands.
export async function showSheet(page) {
  const key = by("sheet-of").value;
  const img = by("sheet");
  const made = key ? await picture({ key, n: page.number }) : "";
  if (address) URL.revokeObjectURL(address);
  address = made;
  img.hidden = !made;
  img.alt = made ? `Sheet: ${by("sheet-of").selectedOptions[0].text}` : "";
  if (made) img.src = made;
}
