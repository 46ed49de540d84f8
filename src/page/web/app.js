// Wires the page together: jobs, one job, its pages.

import { ask, Fault, takeToken } from "./api.js";
import { AnswerView } from "./answer.js";
import { Draft } from "./draft.js";
import { mountForm } from "./form.js";
import { PAGES, sendForm } from "./pages.js";

const by = id => document.getElementById(id);
const main = by("main"), form = by("job"), notice = by("notice"), live = by("live");
let draft = null, answer = null, units = null;

const element = (tag, text, className) => {
  const made = document.createElement(tag);
  if (text !== undefined) made.textContent = text;
  if (className) made.className = className;
  return made;
};

function tell(text, choices = []) {
  notice.replaceChildren(element("p", text));
  for (const [words, act] of choices) {
    const made = element("button", words);
    made.type = "button";
    made.addEventListener("click", () => { notice.hidden = true; act(); });
    notice.append(made);
  }
  const close = element("button", "Close");
  close.type = "button";
  close.addEventListener("click", () => { notice.hidden = true; });
  notice.append(close);
  notice.hidden = false;
}

const fail = error => tell(error instanceof Fault ? error.message : "Something went wrong in the page: " + error.message);

function setState() {
  by("state").textContent = draft === null ? "" : draft.changed ? "Not saved" : "Saved";
  by("save").disabled = draft === null || !draft.changed;
  by("undo").disabled = draft === null || draft.before.length === 0;
}

async function save() {
  try {
    await draft.save();
    setState();
    live.textContent = "Saved";
  } catch (error) {
    if (error.status !== 409) return fail(error);
    const now = error.data.now;
    tell(error.message, [
      ["Write mine over it", async () => { draft.over(now); await save(); }],
      ["Take the file as it is now", async () => { draft.take(now); await draft.edit([], true); recompute(); setState(); }],
    ]);
  }
}

const recompute = () => answer?.start(draft);

async function openJob(file) {
  draft?.listeners.splice(0);
  answer?.stop();
  draft = await Draft.open(file, units);
  form.replaceChildren();
  const fresh = element("div");
  form.append(fresh);
  mountForm(fresh, draft, fail);
  draft.onChange((found, changed) => {
    setState();
    if (changed) recompute();
  });
  main.replaceChildren(element("div", undefined, "answer"), element("div", undefined, "other"));
  answer = new AnswerView(main.querySelector(".answer"), live);
  await draft.edit([], true);
  recompute();
  if (draft.restored === "same") tell("Your changes from before are back. They are not saved yet.");
  if (draft.restored === "other") tell("Your changes from before are back, but the file has been changed meanwhile. Saving will ask you.");
  setState();
}

function pageLinks(file, page) {
  const nav = by("pages");
  nav.hidden = file === null;
  nav.replaceChildren();
  if (file === null) return;
  for (const [key, { name }] of Object.entries(PAGES)) {
    const link = element("a", name);
    link.href = `#/${encodeURIComponent(file)}/${key}`;
    link.dataset.to = key;
    if (key === page) link.setAttribute("aria-current", "page");
    nav.append(link);
  }
  // On a phone the bar is wider than the screen: the page that is shown stays in view.
  const current = nav.querySelector("[aria-current]");
  if (current) nav.scrollLeft = current.offsetLeft - (nav.clientWidth - current.offsetWidth) / 2;
}

async function jobs() {
  draft = null;
  answer?.stop();
  form.replaceChildren();
  by("title").textContent = "coatday";
  document.title = "coatday";
  const found = await ask("/api/jobs");
  units ??= found.units;
  by("si").checked = units === "si";
  main.replaceChildren(element("h2", "Jobs"), element("p", "In " + found.folder, "help"));
  const list = element("ul", undefined, "jobs");
  for (const job of found.jobs) {
    const item = element("li"), link = element("a", job.name);
    link.href = `#/${encodeURIComponent(job.file)}/answer`;
    item.append(link, element("span", job.file + (job.faulty ? ": has faults" : ""), "help"));
    list.append(item);
  }
  main.append(found.jobs.length ? list : element("p", "There is no job in this folder yet."));
  main.append(element("h2", "New job"));
  const place = element("div");
  place.innerHTML = (await ask("/api/new")).html;
  main.append(place);
  const open = file => { location.hash = `#/${encodeURIComponent(file)}/answer`; };
  const small = place.querySelector("form");
  small.addEventListener("submit", async event => {
    event.preventDefault();
    const made = await sendForm(small, typed => ask("/api/new", { typed, units }));
    if (made) open(made.file);
  });
  place.addEventListener("click", async event => {
    const key = event.target.closest("[data-example]")?.dataset.example;
    if (!key) return;
    try {
      open((await ask("/api/new", { example: key, units })).file);
    } catch (error) { fail(error); }
  });
}

async function route() {
  notice.hidden = true;
  const [, file, page = "answer"] = location.hash.split("/");
  try {
    if (!file) {
      by("tools").hidden = true;
      document.body.dataset.page = "jobs";
      pageLinks(null);
      await jobs();
    } else {
      const name = decodeURIComponent(file);
      if (units === null) {
        units = (await ask("/api/jobs")).units;
        by("si").checked = units === "si";
      }
      const known = Object.hasOwn(PAGES, page) ? page : "answer";
      by("tools").hidden = false;
      by("title").textContent = name;
      document.title = `${PAGES[known].name}: ${name}`;
      document.body.dataset.page = known;
      pageLinks(name, known);
      if (draft?.file !== name) await openJob(name);
      const other = main.querySelector(".other");
      other.replaceChildren();
      await PAGES[known].open?.(other, draft, async edits => {
        await draft.edit(edits, true);
        location.hash = `#/${encodeURIComponent(name)}/job`;
      });
    }
    setState();
  } catch (error) {
    fail(error);
  }
  document.body.dataset.ready = "yes";
}

by("save").addEventListener("click", save);
by("undo").addEventListener("click", () => draft?.undo().then(() => { setState(); recompute(); }).catch(fail));
by("si").addEventListener("change", async event => {
  units = event.target.checked ? "si" : "us";
  if (!draft) return;
  draft.units = units;
  try {
    await draft.edit([], true);
    recompute();
    await route();
  } catch (error) { fail(error); }
});
by("bright").addEventListener("change", event => { document.documentElement.dataset.bright = event.target.checked ? "yes" : "no"; });
document.addEventListener("keydown", event => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s" && draft) {
    event.preventDefault();
    if (draft.changed) save();
  }
});
document.querySelector(".skip").addEventListener("click", event => {
  event.preventDefault();
  main.focus();
});
// Whoever goes to another page is there with the keyboard and the screen reader, too.
addEventListener("hashchange", async () => {
  if (!takeToken()) return;
  await route();
  const page = document.body.dataset.page;
  (page === "job" ? form : main).focus?.({ preventScroll: true });
});

if (takeToken()) route();
else {
  main.replaceChildren(element("h2", "The page has lost its key"), element("p", "Open the whole address that coatday serve printed in the terminal."));
  document.body.dataset.ready = "yes";
}
