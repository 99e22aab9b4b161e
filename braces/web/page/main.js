// The page: what it looks at, and who is told when the design becomes another.

import { Edits } from "./edits.js";
import { showFields } from "./fields.js";
import { showDifference, showNumbers, showProblems, showStrength } from "./ledger.js";
import { by, fill, h, options } from "./make-nodes.js";
import { PlanView } from "./plan.js";
import { SideView } from "./side.js";
import { ask, enter, listen, tell } from "./talk.js";
import { sheetChoice, showMake, showSheet } from "./work.js";

class Page {
  constructor() {
    this.plate = "top";
    this.brace = "";
    this.part = "";
    this.field = "";
    this.number = -1;
    this.make = { busy: false, step: "", failed: "", files: [], folder: "" };
    this.strength = { of: null, busy: false, failed: "", result: null };
    this.live = null;
    this.edits = new Edits(() => this.looking(), (table) => this.arrived(table), (text, bad) => this.say(text, bad));
    this.plan = new PlanView(this);
    this.side = new SideView(this);
  }

  looking() { return { plate: this.plate, brace: this.brace }; }

  say(text, bad = false) {
    by("said").textContent = text;
    by("said").className = bad ? "bad" : "";
  }

  async begin() {
    const begun = await ask("begin", this.looking());
    if (!begun.state) { this.say(begun.refusal, true); return; }
    this.begun = begun;
    sheetChoice(this, begun.sheets);
    options(by("compare"), [["", "nothing"], ["saved", "the saved file"], ...begun.others.map((o) => [o, o])]);
    this.brace = begun.state.braces.find((b) => b.plate === this.plate)?.name || "";
    this.part = this.entry() || "top";
    await this.look();
    listen((news) => this.news(news), (there, why) => this.there(there, why));
  }

  entry() { return this.state0()?.braces.find((b) => b.name === this.brace)?.where.join("/") || ""; }

  state0() { return this.state || this.begun?.state; }

  async look() { this.arrived(await ask("view", this.looking())); }

  arrived(table) {
    if (!table.state || table.state.number < this.number) return; // an older answer came late
    this.number = table.state.number;
    this.state = table.state;
    this.table = table;
    this.draw();
  }

  draw() {
    const { state, table } = this;
    document.title = `${state.name}${state.unsaved ? " *" : ""}`;
    by("name").textContent = state.name;
    by("file").textContent = `${state.file}, revision ${state.revision} ${state.hash}`;
    by("saved").textContent = !state.unsaved ? "saved" : `${state.changed.length} ${state.changed.length === 1 ? "value" : "values"} not saved`;
    by("undo").disabled = !state.undo;
    by("redo").disabled = !state.redo;
    by("save").disabled = !state.unsaved && !state.preset;
    by("save").textContent = state.preset ? "Save as your own" : "Save";
    document.body.classList.toggle("stale", !state.current);
    this.bars();
    options(by("brace"), [["", "none"], ...state.braces.map((b) => [b.name, `${b.name} (${b.plate})`])], this.brace);
    if (table.plan) this.plan.show(table.plan, this.extra());
    by("stick-title").textContent = this.brace ? `Brace: ${this.brace}` : "Brace";
    by("bench").hidden = !table.side;
    by("none-chosen").hidden = Boolean(table.side);
    by("at").disabled = !table.side;
    by("side-note").hidden = !table.side;
    if (table.side) this.side.show(table.side);
    showNumbers(this, table);
    showStrength(this);
    showProblems(this, state);
    showFields(this, state, this.begun.sections);
    showMake(this, this.begun, this.make);
    this.later();
  }

  // What may follow a moment behind the hand.
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => { this.compare(); showSheet(this); }, 250);
  }

  // Deflection and modes as lines: of the full solution if it is of this state, else of the live model if that is.
  fields() {
    const full = this.strength.result?.plates?.[this.plate]?.overlays;
    const live = this.live?.plates?.[this.plate]?.overlays;
    if (full && this.strength.of === this.number) return { rows: full, of: "" };
    if (live && this.live.number === this.number) return { rows: live, of: ", of the live model" };
    return { rows: (this.plate === "top" && this.drawn) || full || [], of: ", of an earlier state" };
  }

  extra() {
    const { rows, of } = this.fields();
    const field = rows.find((o) => o.title === by("overlay").value);
    const note = field ? `${field.title}: lines every ${field.step} ${field.unit}${of}.` : "";
    return { overlay: field, ghost: this.ghost?.plate === this.plate ? this.ghost.ghost : "", note };
  }

  async compare() {
    const key = by("compare").value;
    const before = this.ghost?.ghost;
    const made = key ? await ask("compare", { with: key, plate: this.plate }) : null;
    this.ghost = made ? { ...made, plate: this.plate } : null;
    showDifference(this, made);
    if (before !== this.ghost?.ghost && this.table?.plan) this.plan.show(this.table.plan, this.extra());
  }

  bars() {
    const { state } = this;
    const bar = (text, ...buttons) => h("div", { class: "bar", role: "alert" }, h("p", {}, text), buttons.map(([word, act]) =>
      h("button", { type: "button", onclick: () => this.act(act) }, word)));
    fill(
      by("bars"),
      state.preset && h("div", { class: "bar quiet" }, h("p", {}, `${state.name} came with the program. Saving begins a file of your own, ${state.file}, in the folder you started in.`)),
      state["taken up"] > 0 && bar(`Taken up again: ${state["taken up"]} unsaved values of an earlier run.`, ["Go back to the file", "discard"]),
      state.disk && (state.disk.clashes.length
        ? bar(`The file was changed by someone else, and ${state.disk.clashes.map((c) => `${c.name} is ${c.file ?? "gone"} there, ${c.here} here`).join("; ")}.`,
          ["Merge, keep mine", "merge-mine"], ["Merge, take the file's", "merge-file"])
        : bar("The file was changed by someone else, in other places than here.", ["Merge", "merge-mine"])),
      !state.current && bar("The design cannot be drawn as it stands: mend the problems. What you see is its last good state.", ["Undo", "undo"]),
      state.note && h("div", { class: "bar quiet", role: "status" }, h("p", {}, state.note)),
    );
  }

  async act(what) {
    const answer = await tell(`act/${what}`, this.looking());
    this.say(answer.refusal || { save: "Saved.", undo: "Undone.", redo: "Done again." }[what] || "", Boolean(answer.refusal));
    this.arrived(answer);
  }

  choose(name, field = "") {
    this.brace = name;
    const own = this.state.braces.find((b) => b.name === name);
    if (own) { this.plate = own.plate; this.part = own.where.join("/"); }
    this.field = field;
    this.plates();
    this.look();
  }

  plates() {
    by("show-top").setAttribute("aria-pressed", String(this.plate === "top"));
    by("show-back").setAttribute("aria-pressed", String(this.plate === "back"));
    by("plate-title").textContent = this.plate === "top" ? "Top, from inside" : "Back, from inside";
    this.overlays();
  }

  overlays() {
    const fields = this.fields().rows;
    options(by("overlay"), [["", fields.length ? "nothing" : "nothing yet"], ...fields.map((f) => [f.title, f.title])]);
  }

  pointAt(problem) {
    if (problem.braces.length) { this.choose(problem.braces[0], problem.where.join("/")); return; }
    const [plate, list] = problem.where;
    this.part = list === "braces" ? problem.where.slice(0, 3).join("/") : problem.where.length > 1 ? plate : "";
    this.field = problem.where.join("/");
    showFields(this, this.state, this.begun.sections);
  }

  async solve() { await tell("solve", {}); }

  async news(news) {
    if (news.make) { this.make = news.make; if (this.state) showMake(this, this.begun, this.make); }
    if (news.live) this.heardOfLive(news.live);
    if (news.strength) await this.heardOfStrength(news.strength);
    if (news.number !== undefined && news.number > this.number && !this.edits.busy && !this.edits.waiting) this.look();
  }

  heardOfLive(live) {
    this.live = live;
    if (live.plates?.top?.overlays) this.drawn = live.plates.top.overlays; // kept while newer ones are on their way
    if (!this.table) return;
    showNumbers(this, this.table);
    showStrength(this);
    this.overlays();
    if (live.fields && by("overlay").value) this.plan.show(this.table.plan, this.extra());
  }

  async heardOfStrength(news) {
    this.strength = news.busy || news.of === this.strength.of ? { ...this.strength, ...news } : await ask("strength");
    this.overlays();
    if (this.state) { showStrength(this); this.plan.show(this.table.plan, this.extra()); }
  }

  there(there, why) {
    document.body.classList.toggle("gone", !there);
    if (!there) this.say(why, true);
    else if (this.away) this.look();
    this.away = !there;
  }
}

function wire(page) {
  by("undo").onclick = () => page.act("undo");
  by("redo").onclick = () => page.act("redo");
  by("save").onclick = () => page.act("save");
  for (const plate of ["top", "back"]) {
    by(`show-${plate}`).onclick = () => {
      page.plate = plate;
      page.brace = page.state.braces.find((b) => b.plate === plate)?.name || "";
      page.choose(page.brace);
    };
  }
  by("brace").onchange = () => page.choose(by("brace").value);
  by("part").onchange = () => { page.part = by("part").value; showFields(page, page.state, page.begun.sections); };
  by("overlay").onchange = () => page.plan.show(page.table.plan, page.extra());
  by("compare").onchange = () => page.compare();
  document.addEventListener("keydown", (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
    const typing = e.target.matches?.("input[type=text]");
    const key = e.key.toLowerCase();
    if (key === "s") page.act("save");
    else if (key === "z" && !typing) page.act(e.shiftKey ? "redo" : "undo");
    else if (key === "y" && !typing) page.act("redo");
    else return;
    e.preventDefault();
  });
  window.addEventListener("beforeprint", () => { page.plan.canvas.whole(); page.side.canvas.whole(); });
}

const page = new Page();
wire(page);
if (await enter()) await page.begin();
else page.say("Open this page by the address that the program printed: it carries the key.", true);
