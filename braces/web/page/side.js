// One brace from the side, with its stations as handles and its curves beneath on the same scale along.

import { Canvas } from "./canvas.js";
import { handleKeys } from "./edits.js";
import { by, fill, s } from "./make-nodes.js";
import { ask } from "./talk.js";

const CURVES = ["height", "with plate", "own"];
const CURVES_MM = 48; // what they take below the brace

export class SideView {
  constructor(page) {
    this.page = page;
    this.svg = by("side");
    this.picture = null;
    this.at = null;
    this.canvas = new Canvas(this.svg, {
      hold: (target) => this.hold(target),
      move: (x, y, fine) => this.dragging && page.edits.drag("side", this.dragging.key, x, y, fine),
      drop: () => { this.dragging = null; },
      pick: (_target, at) => this.section(at[0]),
      over: (at) => this.section(at[0]),
      scaled: (px) => this.sized(px),
    });
    by("stretch").onchange = () => { if (this.picture) this.show(this.picture, true); };
    by("at").oninput = () => this.section(Number(by("at").value));
  }

  show(picture, anew) {
    const again = !anew && this.picture?.name === picture.name;
    const focused = document.activeElement?.dataset?.handle;
    this.picture = picture;
    const [x, y, w, hh] = picture.box;
    const { width, height } = this.svg.getBoundingClientRect();
    const fit = width ? Math.min(Math.max(((height / width) * w - CURVES_MM) / hh, 1), 6) : 3;
    const k = Number(by("stretch").value) || fit;
    this.canvas.stretch = k;
    const room = CURVES_MM / k;
    fill(
      this.svg,
      s("g", { transform: `scale(1 ${k})` },
        s("path", { class: "stick", d: picture.lines.find((l) => l.layer === "cut")?.d || "" }),
        picture.lines.map((l) => s("path", { class: `pen ${l.layer}`, d: l.d })),
        picture.hollows.map((o) => s("path", { class: o.fits ? "tool" : "tool tight", d: o.tool })),
        this.at === null ? null : s("line", { class: "cursor", x1: this.at, x2: this.at, y1: y, y2: y + hh + room }),
      ),
      picture.hollows.map((o) => s("text", { class: o.fits ? "word" : "word tight", x: o.at[0], y: (y + 1) * k, dy: "-1.15em", "text-anchor": "middle" },
        `hollow ${o.radius} mm, tool ${picture.tool} mm`)),
      picture.notches.map((n) => s("text", { class: "word", x: n.at, y: (y + 1) * k, "text-anchor": "middle" }, n.with)),
      picture.curves ? this.curves(picture, x, (y + hh) * k, w, room * k) : null,
      picture.handles.map((hd) => this.handle(hd, k)),
    );
    by("side-note").textContent = `${picture.face}. Glue face arched to ${picture.arc}. Arrow keys move a handle by 0.1 mm, with Shift by 1 mm.`;
    this.canvas.show([x, y, w, hh + room], again);
    const slide = by("at");
    slide.max = picture.length;
    if (this.at === null || this.at > picture.length) this.at = picture.length / 2;
    slide.value = this.at;
    this.section(this.at);
    this.page.quiet = true;
    if (focused) this.svg.querySelector(`[data-handle="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
    this.page.quiet = false;
  }

  // Two curves, each from nought to its own greatest value, under one another.
  curves(picture, x, top, w, room) {
    const { curves } = picture;
    const most = Math.max(...curves["with plate"], 1e-9);
    const tall = Math.max(...curves.height, 1e-9);
    const line = (values, scale) => values.map((v, i) => `${i ? "L" : "M"}${curves.x[i]} ${top + room - 4 - (v / scale) * (room - 10)}`).join("");
    return s("g", { class: "curves", role: "img", "aria-label": `Height up to ${tall.toFixed(1)} mm, stiffness with the plate up to ${most.toFixed(1)} newton square metres` },
      s("line", { class: "base", x1: 0, x2: picture.length, y1: top + room - 4, y2: top + room - 4 }),
      CURVES.map((key) => s("path", { class: `curve ${key.replace(" ", "-")}`, d: line(curves[key], key === "height" ? tall : most) })),
      s("text", { class: "word", x: 0, y: top + 3 },
        s("tspan", { class: "says-height" }, `height to ${tall.toFixed(1)} mm`), "   ",
        s("tspan", { class: "says-plate" }, `E I with the plate to ${most.toFixed(1)} N m²`), "   ",
        s("tspan", { class: "says-own" }, "E I of the brace alone")));
  }

  handle(hd, k) {
    return s("g", {
      class: `handle ${hd.way}`, role: "button", tabindex: "0", "data-handle": hd.key,
      "aria-label": hd.why ? `${hd.label}: cannot be moved, ${hd.why}` : hd.label, "aria-disabled": hd.why ? "true" : false,
      transform: `translate(${hd.at[0]} ${hd.at[1] * k})`, onkeydown: handleKeys(this.page.edits, "side", hd.key),
      onfocus: () => this.page.quiet || this.page.say(hd.why || hd.label, Boolean(hd.why)),
    }, s("circle", { class: "reach" }), s("circle", { class: "grip" }), s("title", {}, hd.why || hd.label));
  }

  sized(px) {
    const coarse = matchMedia("(pointer: coarse)").matches;
    for (const c of this.svg.querySelectorAll(".reach")) c.setAttribute("r", (coarse ? 22 : 11) * px);
    for (const c of this.svg.querySelectorAll(".grip")) c.setAttribute("r", 5.5 * px);
    this.svg.style.setProperty("--word", `${11 * px}px`);
  }

  hold(target) {
    const key = target.closest?.("[data-handle]")?.dataset.handle;
    const found = key && this.picture?.handles.find((hd) => hd.key === key);
    if (!found) return null;
    if (found.why) { this.page.say(found.why, true); return null; }
    this.page.edits.begin();
    this.dragging = found;
    return found;
  }

  // The section at the cursor; one question at a time, the newest place next.
  section(x) {
    if (!this.picture) return;
    this.at = Math.min(Math.max(x, 0), this.picture.length);
    by("at").value = this.at;
    by("at-text").textContent = `${this.at.toFixed(0)} mm from its start`;
    const cursor = this.svg.querySelector(".cursor");
    cursor?.setAttribute("x1", this.at);
    cursor?.setAttribute("x2", this.at);
    this.wanted = this.at;
    if (!this.asking) this.askSection();
  }

  async askSection() {
    this.asking = true;
    while (this.wanted !== null) {
      const x = this.wanted;
      this.wanted = null;
      const made = await ask("section", { brace: this.picture.name, x });
      if (!made.d) continue;
      const svg = by("section");
      svg.setAttribute("viewBox", made.box.join(" "));
      svg.setAttribute("aria-label", `Section ${made.at} mm from the start, ${made.height} mm high`);
      fill(svg, s("path", { class: "stick", d: made.d }));
      by("section-text").textContent = `${made.height.toFixed(1)} mm high`;
    }
    this.asking = false;
  }
}
