// A picture that is zoomed, panned and taken hold of: by mouse, finger, pen or keys. Places are mm of the picture.

const CLOSE = 4; // px a pointer may move and still only point

export class Canvas {
  constructor(svg, hands) {
    this.svg = svg;
    this.hands = hands; // { hold(target), move(x, y, fine), drop(), pick(target), pan }
    this.box = [0, 0, 100, 100];
    this.view = null;
    this.stretch = 1;
    this.pointers = new Map();
    this.held = null;
    svg.addEventListener("pointerdown", (e) => this.down(e));
    svg.addEventListener("pointermove", (e) => this.moved(e));
    svg.addEventListener("pointerup", (e) => this.up(e));
    svg.addEventListener("pointercancel", (e) => this.up(e));
    svg.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
    svg.addEventListener("keydown", (e) => this.key(e));
    new ResizeObserver(() => this.frame()).observe(svg);
  }

  // The picture's box; zoom and place are kept while it stays of one thing.
  show(box, again) {
    this.box = box;
    if (!again || !this.view) this.view = [...box];
    this.frame();
  }

  frame() {
    if (!this.view) return;
    const [x, y, w, h] = this.view;
    this.svg.setAttribute("viewBox", `${x} ${y * this.stretch} ${w} ${h * this.stretch}`);
    this.svg.style.setProperty("--px", String(this.mmPerPx()));
    this.hands.scaled?.(this.mmPerPx());
  }

  mmPerPx() {
    const { width, height } = this.svg.getBoundingClientRect();
    return width && this.view ? Math.max(this.view[2] / width, (this.view[3] * this.stretch) / height) : 0.5;
  }

  place(e) {
    const m = this.svg.getScreenCTM();
    if (!m) return [0, 0];
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(m.inverse());
    return [p.x, p.y / this.stretch];
  }

  zoom(by, about) {
    const [x, y, w, h] = this.view;
    const least = this.box[2] / 40;
    const f = Math.min(Math.max(by, least / w), (this.box[2] * 2) / w);
    const [cx, cy] = about || [x + w / 2, y + h / 2];
    this.view = [cx - (cx - x) * f, cy - (cy - y) * f, w * f, h * f];
    this.frame();
  }

  whole() { this.view = [...this.box]; this.frame(); }

  trueSize() {
    const { width, height } = this.svg.getBoundingClientRect();
    const mm = 25.4 / 96; // CSS says that 96 px are an inch
    const [x, y, w, h] = this.view;
    const size = [width * mm, (height * mm) / this.stretch];
    this.view = [x + w / 2 - size[0] / 2, y + h / 2 - size[1] / 2, ...size];
    this.frame();
  }

  pan(dx, dy) { this.view[0] += dx; this.view[1] += dy; this.frame(); }

  down(e) {
    if (e.button > 0) return;
    this.pointers.set(e.pointerId, e);
    this.svg.setPointerCapture(e.pointerId);
    if (this.pointers.size === 2) { this.hands.drop(); this.held = null; return; }
    this.start = { at: this.place(e), x: e.clientX, y: e.clientY, target: e.target, far: false };
    this.held = this.hands.hold(e.target);
    if (this.held) e.preventDefault();
    e.target.closest?.("[tabindex]")?.focus({ preventScroll: true });
  }

  moved(e) {
    const before = this.pointers.get(e.pointerId);
    if (!before) { this.hands.over?.(this.place(e)); return; }
    if (this.pointers.size === 2) { this.pinch(before, e); return; }
    this.pointers.set(e.pointerId, e);
    const go = this.start;
    go.far ||= Math.hypot(e.clientX - go.x, e.clientY - go.y) > CLOSE;
    if (!go.far) return;
    if (!this.held) {
      const k = this.mmPerPx();
      this.pan(-(e.clientX - before.clientX) * k, (-(e.clientY - before.clientY) * k) / this.stretch);
      return;
    }
    const at = this.place(e);
    this.hands.move(this.held.at[0] + at[0] - go.at[0], this.held.at[1] + at[1] - go.at[1], e.altKey || e.shiftKey);
  }

  pinch(before, e) {
    const other = [...this.pointers.entries()].find(([id]) => id !== e.pointerId)[1];
    const far = (a) => Math.hypot(a.clientX - other.clientX, a.clientY - other.clientY) || 1;
    this.pointers.set(e.pointerId, e);
    this.zoom(far(before) / far(e), this.place({ clientX: (e.clientX + other.clientX) / 2, clientY: (e.clientY + other.clientY) / 2 }));
  }

  up(e) {
    if (!this.pointers.delete(e.pointerId)) return;
    if (this.start && !this.start.far && e.type === "pointerup") this.hands.pick(this.start.target, this.place(e));
    if (this.held) this.hands.drop();
    this.held = null;
  }

  wheel(e) {
    if (!e.ctrlKey && !this.svg.contains(document.activeElement)) return; // the page itself scrolls
    e.preventDefault();
    this.zoom(e.deltaY > 0 ? 1.15 : 1 / 1.15, this.place(e));
  }

  key(e) {
    if (e.target !== this.svg || e.ctrlKey || e.metaKey) return;
    const step = this.view[2] / 12;
    const moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    if (moves[e.key]) this.pan(...moves[e.key]);
    else if (e.key === "+" || e.key === "=") this.zoom(1 / 1.25);
    else if (e.key === "-") this.zoom(1.25);
    else if (e.key === "0") this.whole();
    else return;
    e.preventDefault();
  }
}
