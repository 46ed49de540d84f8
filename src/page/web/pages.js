// The pages beside the answer: each asks the server and shows what it says.

import { ask, bytes, Fault } from "./api.js";

const element = (tag, text, className) => {
  const made = document.createElement(tag);
  if (text !== undefined) made.textContent = text;
  if (className) made.className = className;
  return made;
};

const button = (text, act, className) => {
  const made = element("button", text, className);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
};

// What a small form says: faults stand at their fields.
export async function sendForm(form, send) {
  const said = form.querySelector(".said");
  for (const note of form.querySelectorAll("[data-fault]")) note.replaceChildren();
  said.textContent = "";
  try {
    const found = await send(Object.fromEntries(new FormData(form)));
    const faults = Object.entries(found.faults ?? {});
    for (const [name, text] of faults) {
      const note = form.querySelector(`[data-fault="${CSS.escape(name)}"]`) ?? said;
      note.replaceChildren(element("span", "Wrong: " + text, "fault"));
    }
    const first = faults.length && form.querySelector(`[name="${CSS.escape(faults[0][0])}"]`);
    if (first) first.focus();
    return faults.length ? null : found;
  } catch (error) {
    const note = form.querySelector('[data-fault="csv"]') ?? said;
    note.replaceChildren(element("span", error.message, "fault"));
    return null;
  }
}

async function document_(main, draft, what, heading, words) {
  main.replaceChildren(element("h2", heading), element("p", words, "help"));
  const place = element("div", "Computing ...", "shown");
  main.append(place);
  await fill(place, "/api/show/" + what, draft);
  return place;
}

async function fill(place, path, draft) {
  try {
    place.innerHTML = (await ask(path, draft.asked)).html;
  } catch (error) {
    place.replaceChildren(element("pre", error.message, "fault"));
  }
}

export const PAGES = {
  answer: { name: "Answer" },
  job: { name: "Job" },
  walk: { name: "Walk", open: walk },
  readings: { name: "Readings", open: readings },
  today: { name: "Today", open: today },
  compare: { name: "Compare", open: compare },
  plan: { name: "Plan", open: plan },
  report: { name: "Report", open: report },
};

async function compare(main, draft) {
  const place = await document_(main, draft, "compare", "Compare the setups", "The same as coatday compare, with its details, and whether the gear is big enough.");
  main.append(later("Is the gear big enough?", "/api/show/size", draft), later("Where do the days go?", "/api/show/explain", draft));
  return place;
}

function later(heading, path, draft) {
  const details = element("details", undefined, "group"), summary = element("summary"), place = element("div", "Computing ...", "shown");
  summary.append(element("h2", heading));
  details.append(summary, place);
  details.addEventListener("toggle", () => { if (details.open) fill(place, path, draft); }, { once: true });
  return details;
}

function plan(main, draft) {
  return document_(main, draft, "plan", "Plan the gear", "The cheapest gear on hand that makes the date. It searches what stands under Gear: plan.");
}

async function walk(main, draft, change) {
  main.replaceChildren(element("h2", "Walk over the floor"), element("p", "Tap where you found something. Photos stay on your device: write the name of the file in the note.", "help"));
  const floor = element("div", undefined, "floor"), place = element("div", undefined, "shown");
  main.append(floor, button("Work out the preparation", () => { place.textContent = "Computing ..."; fill(place, "/api/show/prep", draft); }, "main"), place);
  try {
    const found = await ask("/api/walk", draft.asked);
    floor.innerHTML = found.html;
  } catch (error) {
    floor.replaceChildren(element("pre", error.message, "fault"));
    return;
  }
  let spot = null;
  const svg = floor.querySelector("svg.plan");
  svg?.addEventListener("click", event => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    spot = { x: at.x.toFixed(1), y: at.y.toFixed(1), area: event.target.dataset?.area };
    const mark = svg.querySelector(".spot");
    mark.setAttribute("cx", at.x);
    mark.setAttribute("cy", at.y);
    mark.removeAttribute("visibility");
    const said = floor.querySelector(".said-spot");
    if (said) said.textContent = "The spot is marked. Now say what it is.";
    const area = spot.area !== undefined && floor.querySelector('[name="area"]');
    if (area) area.value = spot.area;
  });
  floor.addEventListener("click", async event => {
    const kind = event.target.closest("[data-finding]");
    if (!kind) return;
    try {
      const found = await ask("/api/walk", {
        ...draft.asked, kind: kind.dataset.finding, area: floor.querySelector('[name="area"]')?.value ?? "",
        spot: spot && [Number(spot.x), Number(spot.y)],
      });
      await change(found.edits);
    } catch (error) {
      floor.querySelector(".said-spot").textContent = error.message;
    }
  });
}

async function readings(main, draft) {
  main.replaceChildren(element("h2", "Readings"), element("div", "Reading the log ...", "shown"));
  const place = main.querySelector(".shown");
  const load = async more => {
    const found = await ask("/api/readings", { ...draft.asked, ...more });
    if (found.html !== undefined) {
      place.innerHTML = found.html;
      for (const form of place.querySelectorAll("form")) form.addEventListener("submit", submit);
      if (found.said) place.prepend(element("p", found.said, "good"));
    }
    return found;
  };
  const submit = event => {
    event.preventDefault();
    const form = event.currentTarget;
    sendForm(form, typed => load(form.dataset.send === "csv" ? { csv: typed.csv } : { typed }));
  };
  place.addEventListener("click", event => {
    const what = event.target.closest("[data-show]");
    if (!what) return;
    const under = what.nextElementSibling;
    under.textContent = "Computing ...";
    fill(under, "/api/show/" + what.dataset.show, draft);
  });
  await load({}).catch(error => place.replaceChildren(element("pre", error.message, "fault")));
}

async function today(main, draft) {
  main.replaceChildren(element("h2", "Coat today?"));
  const place = element("div", undefined, "shown"), ground = element("div");
  main.append(ground, place);
  try {
    const found = await ask("/api/today", draft.asked);
    ground.innerHTML = found.form;
    place.innerHTML = found.html;
    const form = ground.querySelector("form");
    form.addEventListener("submit", event => {
      event.preventDefault();
      sendForm(form, async typed => {
        const answer = await ask("/api/today", { ...draft.asked, typed });
        if (answer.html !== undefined) {
          place.innerHTML = answer.html;
          document.getElementById("live").textContent = answer.says;
        } else place.replaceChildren();
        return answer;
      });
    });
  } catch (error) {
    place.replaceChildren(element("pre", error.message, "fault"));
  }
}

async function report(main, draft) {
  main.replaceChildren(element("h2", "Report"), element("p", "For the people who wait for the floor. It takes a while: the odds are part of it.", "help"));
  const tools = element("div", undefined, "add"), said = element("p", "", "said"), paper = element("div", undefined, "paper");
  said.setAttribute("role", "status");
  const stem = draft.file.replace(/\.json$/, "");
  const save = (words, path, name) => button(words, async () => {
    said.textContent = "Computing ...";
    try {
      const blob = await bytes(path, draft.asked);
      const link = document.createElement("a"), address = URL.createObjectURL(blob);
      link.href = address;
      link.download = name;
      link.click();
      setTimeout(() => URL.revokeObjectURL(address), 60000);
      said.textContent = name + " is in your downloads.";
    } catch (error) {
      said.textContent = error instanceof Fault ? error.message : String(error);
    }
  });
  tools.append(
    button("Show it here", async () => { paper.textContent = "Computing ..."; await fill(paper, "/api/report/preview", draft); }, "main"),
    save("Save HTML", "/api/report/report.html", stem + "-report.html"), save("Save PDF", "/api/report/report.pdf", stem + "-report.pdf"),
    save("Save letter (PDF)", "/api/report/letter.pdf", stem + "-letter.pdf"), save("Save letter (text)", "/api/report/letter.txt", stem + "-letter.txt"),
    save("Save for the phone", "/api/pocket", stem + "-pocket.html"));
  main.append(tools, said, paper);
}
