// The plate from inside. All lines come from the server; here they are only shown, chosen and taken hold of.

import { Canvas } from "./canvas.js";
import { handleKeys } from "./edits.js";
import { by, fill, s } from "./make-nodes.js";

const CROWD = 16; // more names than this only cover each other
const MOVES_WHOLE = ["whole", "at", "offset", "pitch", "centre", "crossing"];

export class PlanView {
  constructor(page) {
    this.page = page;
    this.svg = by("plan");
    this.picture = null;
    this.canvas = new Canvas(this.svg, {
      hold: (target) => this.hold(target),
      move: (x, y, fine) => this.dragging && page.edits.drag("plan", this.dragging.key, x, y, fine),
      drop: () => { this.dragging = null; },
      pick: (target) => this.pick(target),
      scaled: (px) => this.sized(px),
    });
    by("smaller").onclick = () => this.canvas.zoom(1.25);
    by("larger").onclick = () => this.canvas.zoom(1 / 1.25);
    by("whole").onclick = () => this.canvas.whole();
    by("true-size").onclick = () => this.canvas.trueSize();
  }

  show(picture, extra) {
    const again = this.picture?.plate === picture.plate;
    const focused = document.activeElement?.dataset?.handle;
    this.picture = picture;
    const [x, y, w, hh] = picture.box;
    const rim = picture.parts.find((p) => p.name === "rim");
    const chosen = this.page.brace;
    this.crowded = picture.braces.length > CROWD;
    fill(
      this.svg,
      s("rect", { class: "ground", x, y, width: w, height: hh }),
      s("path", { class: "plate", d: rim.lines.find((l) => l.layer === "cut")?.d || "" }),
      this.overlay(extra.overlay),
      picture.parts.map((part) => s("g", { class: `part ${part.name}` }, part.lines.map((l) => s("path", { class: `pen ${l.layer}`, d: l.d })))),
      extra.ghost ? s("path", { class: "ghost", d: extra.ghost }) : null,
      picture.braces.map((b) => this.brace(b, b.name === chosen)),
      picture.sides.map((side, i) => s("text", { class: "aside", x: i ? x + w - 4 : x + 4, y: y + 10, "text-anchor": i ? "end" : "start" }, side)),
      s("text", { class: "aside", x: x + w / 2, y: y + 8, "text-anchor": "middle" }, "neck"),
      this.handles().map((hd) => this.handle(hd)),
    );
    by("plan-note").textContent = `${picture.face}. ${extra.note || ""}`;
    this.canvas.show(picture.box, again);
    this.page.quiet = true;
    if (focused) this.svg.querySelector(`[data-handle="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    this.page.quiet = false;
  }

  brace(b, chosen) {
    const [u, v, turn] = b.word;
    return s("g", { class: `brace${chosen ? " chosen" : ""}`, "data-brace": b.name },
      s("path", { class: "foot", d: b.foot }),
      b.lines.map((l) => s("path", { class: `pen ${l.layer}`, d: l.d })),
      s("text", { x: u, y: v, transform: `rotate(${turn} ${u} ${v})`, "text-anchor": "middle", class: "name", dy: "0.35em" }, this.crowded && !chosen ? "" : b.name));
  }

  overlay(field) {
    if (!field) return null;
    return s("g", { class: "field" }, field.lines.map((l) =>
      s("path", { class: l.level > 0 ? "out" : l.level < 0 ? "in" : "still", d: l.d }, s("title", {}, `${l.level} ${field.unit}`))));
  }

  handles() {
    const entry = this.picture.braces.find((b) => b.name === this.page.brace)?.where.join("/");
    return this.picture.handles.filter((hd) => (entry ? hd.where.slice(0, 3).join("/") === entry : hd.brace === ""));
  }

  handle(hd) {
    const [x, y] = hd.at;
    return s("g", {
      class: `handle ${hd.way}`, role: "button", tabindex: "0", "data-handle": hd.key,
      "aria-label": hd.why ? `${hd.label}: cannot be moved, ${hd.why}` : hd.label, "aria-disabled": hd.why ? "true" : false,
      transform: `translate(${x} ${y})`, onkeydown: handleKeys(this.page.edits, "plan", hd.key),
      onfocus: () => this.page.quiet || this.page.say(hd.why || hd.label, Boolean(hd.why)),
    }, s("circle", { class: "reach" }), s("circle", { class: "grip" }), s("title", {}, hd.why || hd.label));
  }

  sized(px) {
    const coarse = matchMedia("(pointer: coarse)").matches;
    for (const c of this.svg.querySelectorAll(".reach")) c.setAttribute("r", (coarse ? 22 : 12) * px);
    for (const c of this.svg.querySelectorAll(".grip")) c.setAttribute("r", 6 * px);
    this.svg.style.setProperty("--word", `${Math.min(Math.max(11 * px, 2.2), 14)}px`);
  }

  hold(target) {
    const key = target.closest?.("[data-handle]")?.dataset.handle;
    const name = target.closest?.("[data-brace]")?.dataset.brace;
    let found = key && this.picture.handles.find((hd) => hd.key === key);
    if (!found && name) {
      const entry = this.picture.braces.find((b) => b.name === name).where.join("/");
      const own = this.picture.handles.filter((hd) => hd.where.slice(0, 3).join("/") === entry);
      const rank = (hd) => MOVES_WHOLE.indexOf(hd.key.split("/").pop()) + (hd.brace === name ? 0 : 10);
      found = own.filter((hd) => MOVES_WHOLE.includes(hd.key.split("/").pop())).sort((a, b) => rank(a) - rank(b))[0];
    }
    if (!found) return null;
    if (found.why) { this.page.say(found.why, true); return null; }
    this.page.edits.begin();
    this.dragging = found;
    return found;
  }

  pick(target) {
    const name = target.closest?.("[data-brace]")?.dataset.brace;
    if (name) this.page.choose(name);
    else if (!target.closest?.("[data-handle]")) this.page.choose("");
  }
}
