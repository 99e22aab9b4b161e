// Numbers and problems, as they stand.

import { by, fill, h } from "./make-nodes.js";

export function showNumbers(page, table) {
  const plate = page.plate;
  const rows = table.state.braces.filter((b) => b.plate === plate);
  const live = page.live?.plates?.[plate];
  fill(
    by("numbers"),
    h("table", {},
      h("caption", {}, `Braces of the ${plate}`),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "brace"), h("th", { scope: "col" }, "mass, g"), live ? h("th", { scope: "col" }, "share of E I") : null)),
      h("tbody", {}, rows.map((b) => h("tr", { class: b.name === page.brace ? "chosen" : false },
        h("th", { scope: "row" }, h("button", { type: "button", class: "plain", "aria-pressed": String(b.name === page.brace), onclick: () => page.choose(b.name) }, b.name)),
        h("td", { "data-mass": b.name }, table.masses?.braces[b.name] ?? ""),
        live ? h("td", {}, live.shares[b.name] ? `${live.shares[b.name]} %` : "") : null))),
      h("tfoot", {}, h("tr", {}, h("th", { scope: "row" }, "all braces"), h("td", { id: "mass-all" }, table.masses?.plates[plate] ?? ""), live ? h("td", {}) : null))),
    table.brace && h("dl", { class: "facts" },
      fact(`${page.brace}, on two supports`, `${table.brace["newtons per mm"]} N/mm`, "stiffness"),
      fact("bends under 10 N", `${table.brace.bends} mm`),
      fact("taps, free", `${table.brace.taps} Hz`),
      table.brace.weakest && fact("softest place", table.brace.weakest)),
  );
}

const fact = (name, value, id) => [h("dt", {}, name), h("dd", { id: id || null }, value)];

const ranged = (n, unit) => (n ? `${n.value}${unit}${n.low ? ` (${n.low} to ${n.high})` : ""}` : "–");

// What the mechanics say: the live answer while there is one of this state, else the full one and what it is of.
export function showStrength(page) {
  const { strength, live } = page;
  const full = strength.result?.plates?.[page.plate];
  const fullNow = full && strength.of === page.number;
  const quick = !fullNow && live?.number === page.number ? live.plates?.[page.plate] : null;
  const shown = quick || full || live?.plates?.[page.plate];
  const of = fullNow ? "full solution of the design as it stands" : quick ? "live model of the design as it stands" :
    shown ? "of an earlier state of the design" : "";
  fill(
    by("strength"),
    h("h3", {}, `The ${page.plate} under its strings`),
    shown && h("dl", { class: fullNow || quick ? "facts" : "facts old" },
      fact("plate with bridge and patches", `${shown["plate mass"]} g`, "plate-mass"),
      shown.turn && fact("bridge turns", ranged(shown.turn, "°"), "turn"),
      shown.rise && fact("bridge rises", `${shown.rise} mm`),
      shown.modes.slice(0, 3).map((m, k) => fact(`mode ${k + 1}`, ranged(m, " Hz")))),
    h("p", { class: "note", role: "status", id: "strength-of" },
      [of, strength.busy ? "the full solution is under way" : "", strength.failed, live?.busy && live.builds ? "the live model of this layout is being built" : "", live?.failed || ""].filter(Boolean).join("; ") || "not worked out yet"),
    h("p", { class: "note" }, "In brackets what the model leaves open. A model, not a promise: bring a new top up to pitch slowly."),
    h("button", { type: "button", onclick: () => page.solve(), disabled: strength.busy }, "Work it out now"),
  );
}

export function showProblems(page, state) {
  const { problems } = state;
  fill(
    by("problems"),
    !problems.length && h("p", { class: "note" }, "None."),
    h("ol", { class: "problems" }, problems.map((p) => h("li", { class: p.fatal ? "fatal" : "warning" },
      h("button", { type: "button", class: "plain", onclick: () => page.pointAt(p) },
        h("strong", {}, `${p.code} ${p.fatal ? "" : "(a warning) "}`), `${p.name}${p.line ? `, line ${p.line}` : ""}: ${p.found}`),
      h("p", { class: "note" }, `${p.advice}.`)))),
  );
}

export function showDifference(page, made) {
  fill(
    by("difference"),
    made && h("table", {},
      h("caption", {}, `Against ${made.title}`),
      h("thead", {}, h("tr", {}, ["", "before", "now", "change"].map((t) => h("th", { scope: "col" }, t || "what")))),
      h("tbody", {}, made.rows.map((r) => h("tr", { class: r.change === "same" ? "same" : false },
        h("th", { scope: "row" }, `${r.name}, ${r.unit}`), h("td", {}, r.before), h("td", {}, r.after), h("td", {}, r.change))))),
    made && page.state.changed.length > 0 && h("ul", { class: "changed", "aria-label": "Changed since it was saved" },
      page.state.changed.map((c) => h("li", {}, `${c.name}: ${c.was ?? "not there"} → ${c.now}`))),
  );
}
