// The fields of a part as a form: words, limits and help come with each row from the one description of the design.

import { by, fill, h, options } from "./make-nodes.js";
import { ask } from "./talk.js";

let shown = "";

export async function showFields(page, state, sections) {
  const rows = sections.map((p) => [p.where.join("/"), p.name]);
  const seen = new Set();
  for (const b of state.braces) {
    const key = b.where.join("/");
    if (!seen.has(key)) rows.push([key, `${b.plate}: ${b.name.replace(/-(bass|treble|\d+)$/, "")}`]);
    seen.add(key);
  }
  options(by("part"), rows, page.part);
  const made = await ask("form", { where: page.part });
  if (!made.rows || made.where.join("/") !== page.part) return;
  draw(page, made);
}

function draw(page, made) {
  const box = by("fields");
  const focused = box.contains(document.activeElement) ? document.activeElement.id : "";
  const typed = focused && document.activeElement.value;
  const dirty = focused && document.activeElement.dataset.written !== typed;
  const groups = Map.groupBy ? Map.groupBy(made.rows, (r) => r.group) : grouped(made.rows);
  fill(
    box,
    made.sticks.length > 1 && h("p", { class: "note" }, `One entry of the file: ${made.sticks.join(", ")}.`),
    [...groups].map(([name, rows]) => h("fieldset", {}, h("legend", {}, name || "itself"), rows.map((r) => row(page, r)))),
  );
  if (page.part !== shown) box.scrollTop = 0;
  shown = page.part;
  if (focused) {
    const again = by(focused);
    if (dirty && again) again.value = typed;
    again?.focus({ preventScroll: true });
  }
  if (page.field) {
    const wanted = by(`field-${page.field}`) || box.querySelector(`[id^="field-${CSS.escape(page.field)}"]`);
    page.field = "";
    wanted?.focus();
    wanted?.scrollIntoView({ block: "center" });
  }
}

function grouped(rows) {
  const out = new Map();
  for (const r of rows) out.set(r.group, [...(out.get(r.group) || []), r]);
  return out;
}

function row(page, r) {
  const id = `field-${r.where.join("/")}`;
  const help = `${id}-help`;
  const marks = { id, "aria-describedby": help, "data-written": r.written ?? "", autocomplete: "off", spellcheck: "false" };
  const send = (e) => {
    if (e.target.value !== (r.written ?? "")) page.edits.write(r.where, e.target.value);
  };
  let input;
  if (r.kind === "choice" || r.kind === "yes or no") {
    const words = r.kind === "choice" ? r.choices : ["yes", "no"];
    input = h("select", { ...marks, onchange: send },
      r.written === null ? h("option", { value: "" }, `(${r.default || "not set"})`) : null,
      words.map((w) => h("option", { value: w, selected: w === r.written }, w)));
  } else {
    input = h("input", {
      ...marks, type: "text", value: r.written ?? "", placeholder: r.default, readonly: r.kind === "fixed",
      onchange: send, onkeydown: (e) => { if (e.key === "Escape") e.target.value = r.written ?? ""; },
    });
  }
  const at = r.where.join("/");
  const wrong = page.state.problems.filter((p) => p.where.join("/") === at);
  if (wrong.length) input.setAttribute("aria-invalid", "true");
  const said = [...wrong.map((p) => `${p.code}: ${p.found}`), r.help, r.limits, r.kind === "fixed" ? "changed in the file itself" : ""].filter(Boolean).join("; ");
  return h("div", { class: "field" }, h("label", { for: id }, r.key.replaceAll("_", " ")), input, h("p", { id: help, class: "note" }, said));
}
