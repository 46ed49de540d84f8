// The answer beside the form: told step by step, and given up when the draft has changed.

import { stream } from "./api.js";

export class AnswerView {
  constructor(element, live) {
    this.live = live;
    this.top = document.createElement("div");
    this.slider = document.createElement("section");
    this.rest = document.createElement("div");
    this.slider.hidden = true;
    this.slider.className = "limits";
    element.replaceChildren(this.top, this.slider, this.rest);
  }

  stop() { this.running?.abort(); }

  async start(draft) {
    this.stop();
    const running = this.running = new AbortController();
    document.body.dataset.computing = "yes";
    try {
      await stream("/api/answer", draft.asked, running.signal, (name, data) => {
        if (running.signal.aborted) return;
        if (name === "answer") this.show(data);
        else if (name === "limits") this.limits(data);
        else if (name === "fault") this.fault(data.fault);
      });
    } catch (error) {
      if (error.name === "AbortError" || running.signal.aborted) return;
      this.fault(error.message);
    }
    if (this.running === running) document.body.dataset.computing = "no";
  }

  show({ top, rest, sampled, last, says }) {
    this.top.innerHTML = top;
    const open = this.rest.querySelector("details")?.open ?? false;
    this.rest.innerHTML = rest;
    const details = this.rest.querySelector("details");
    if (details) details.open = open;
    this.slider.hidden = this.rows === undefined;
    document.body.dataset.answered = last ? "all" : "some";
    document.dispatchEvent(new CustomEvent("answered", { detail: { sampled, last } }));
    if (says && (sampled === 0 || last)) this.live.textContent = says;
  }

  // One run gives the date of every limit: the slider only shows them.
  limits({ rows, own, setup }) {
    this.rows = rows;
    const before = this.slider.querySelector("input");
    const at = Math.max(0, rows.findIndex(row => row.limit === (before && before.dataset.own === String(own) ? rows[before.value]?.limit : own)));
    const label = document.createElement("label"), input = document.createElement("input"), output = document.createElement("output");
    label.textContent = `What if the coating's limit were another? With ${setup}, by one run:`;
    label.htmlFor = "limit";
    input.type = "range";
    input.id = "limit";
    input.min = 0;
    input.max = rows.length - 1;
    input.value = at;
    input.dataset.own = String(own);
    output.htmlFor = "limit";
    const tell = () => {
      const row = rows[input.value];
      const text = `${row.limit}: ${row.says}` + (row.limit === own ? " (the job's limit)" : "");
      output.textContent = text;
      input.setAttribute("aria-valuetext", text);
    };
    input.addEventListener("input", tell);
    tell();
    this.slider.replaceChildren(label, input, output);
    this.slider.hidden = false;
  }

  fault(text) {
    const words = document.createElement("div"), heading = document.createElement("h2"), lines = document.createElement("pre");
    heading.textContent = "No answer yet";
    lines.textContent = text;
    lines.className = "fault";
    words.append(heading, lines);
    this.top.replaceChildren(words);
    this.rest.replaceChildren();
    this.slider.hidden = true;
    document.body.dataset.answered = "fault";
    this.live.textContent = "No answer yet. " + text.split("\n").slice(0, 2).join(" ");
  }
}
