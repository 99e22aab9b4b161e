// Edits on their way: while a hand drags, one edit is under way and only the newest place waits behind it.

import { tell } from "./talk.js";

export class Edits {
  constructor(looking, arrived, said) {
    this.looking = looking;
    this.arrived = arrived;
    this.said = said;
    this.waiting = null;
    this.busy = false;
    this.gesture = "";
    this.count = 0;
    this.first = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
  }

  begin() { this.gesture = `${this.first}-${(this.count += 1)}`; }

  drag(picture, key, u, v, fine) {
    this.waiting = { kind: "drag", picture, key, u, v, fine, gesture: this.gesture };
    this.next();
  }

  async next() {
    if (this.busy || !this.waiting) return;
    this.busy = true;
    const edit = this.waiting;
    this.waiting = null;
    await this.send(edit);
    this.busy = false;
    this.next();
  }

  async send(edit) {
    const answer = await tell("edit", { ...edit, ...this.looking() });
    this.said(answer.refusal || "", Boolean(answer.refusal));
    if (!answer.later && answer.state) this.arrived(answer);
    return answer;
  }

  nudge(picture, key, u, v, fine) { return this.send({ kind: "nudge", picture, key, u, v, fine }); }

  write(where, text) { return this.send({ kind: "write", where, text }); }
}

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

// A handle as it stands in a picture, by key too: arrows move it by 0.1, with Shift by 1.
export function handleKeys(edits, picture, key) {
  return (e) => {
    const way = WAYS[e.key];
    if (!way || e.ctrlKey || e.metaKey) return;
    e.preventDefault();
    e.stopPropagation();
    edits.nudge(picture, key, way[0], way[1], !e.shiftKey);
  };
}
