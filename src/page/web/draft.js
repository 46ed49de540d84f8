// The text of one job that is being changed. The server makes each change; here the text is only kept.

import { ask } from "./api.js";

const kept = file => "coatday draft " + file;

export class Draft {
  constructor(file, base, units) {
    this.file = file;
    this.base = base;
    this.text = base;
    this.units = units;
    this.before = [];
    this.turn = Promise.resolve();
    this.listeners = [];
  }

  // The job as it stands in its file, with changes that were not saved before a reload.
  static async open(file, units) {
    const { text } = await ask("/api/job?file=" + encodeURIComponent(file));
    const draft = new Draft(file, text, units);
    try {
      const stored = JSON.parse(localStorage.getItem(kept(file)) ?? "null");
      if (stored && stored.text !== text && stored.text !== stored.base) {
        draft.text = stored.text;
        draft.base = stored.base;
        draft.restored = stored.base === text ? "same" : "other";
      }
    } catch { /* a broken entry is no draft */ }
    return draft;
  }

  get changed() { return this.text !== this.base; }
  get asked() { return { file: this.file, text: this.text, units: this.units }; }
  onChange(listener) { this.listeners.push(listener); }

  set(text, remember) {
    if (text === this.text) return;
    if (remember) {
      this.before.push(this.text);
      if (this.before.length > 200) this.before.shift();
    }
    this.text = text;
    this.keep();
  }

  keep() {
    try {
      if (this.changed) localStorage.setItem(kept(this.file), JSON.stringify({ base: this.base, text: this.text }));
      else localStorage.removeItem(kept(this.file));
    } catch { /* a full store: the draft lives as long as this tab */ }
  }

  // Changes go one after the other, so that none is lost.
  edit(edits, whole = false) {
    const work = this.turn.then(async () => {
      const found = await ask("/api/draft", { ...this.asked, edits, whole });
      this.set(found.text, edits.length > 0);
      for (const listener of this.listeners) listener(found, edits.length > 0);
      return found;
    });
    this.turn = work.catch(() => {});
    return work;
  }

  async undo() {
    await this.turn;
    const text = this.before.pop();
    if (text === undefined) return;
    this.text = text;
    this.keep();
    const found = await this.edit([], true);
    for (const listener of this.listeners) listener(found, true);
  }

  async save() {
    await this.turn;
    const text = this.text;
    await ask("/api/save", { file: this.file, base: this.base, text });
    this.base = text;
    this.keep();
  }

  // Takes the file as it is now, without the changes.
  take(text) {
    this.before.push(this.text);
    this.base = text;
    this.text = text;
    this.keep();
  }

  // Keeps the changes, to be saved over the file as it is now.
  over(text) {
    this.base = text;
    this.keep();
  }
}
