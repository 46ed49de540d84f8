"use strict";
// The dew point is looked up, not computed: every figure in the table comes from coatday itself.
const data = JSON.parse(document.getElementById("data").textContent);
const by = id => document.getElementById(id);

const number = text => {
  const trimmed = text.trim().replace(/\s*(°\s*)?[CF%]?$/i, "").replace(",", ".");
  return /^-?\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) : null;
};

function dew() {
  const air = number(by("dew-air").value), humidity = number(by("dew-humidity").value), slab = number(by("dew-slab").value);
  const says = by("dew-result");
  if (air === null || humidity === null || slab === null) {
    says.textContent = "Type air temperature, humidity and slab temperature as numbers.";
    return;
  }
  const { from, steps, rows } = data.table;
  // Between two figures the damper and colder one counts.
  const row = rows[Math.ceil(air * steps - 1e-9) - from], percent = Math.ceil(humidity - 1e-9);
  if (!row || percent < 1 || percent > 100) {
    says.textContent = "Outside of what this file knows. Check the numbers.";
    return;
  }
  const point = row[0].split(" ")[percent - 1], least = row[1][percent - 1];
  const good = Math.floor(slab * steps + 1e-9) >= least;
  const needed = (least / steps).toFixed(1);
  says.textContent = `Dew point ${point} ${data.unit}. The slab must be at least ${needed} ${data.unit}. ` +
    (good ? "The dew point does not stop coating. All other rules must hold too." : "NO: do not coat. Water can condense on the slab.");
}
by("dew").addEventListener("input", dew);
by("dew").addEventListener("submit", event => event.preventDefault());

// Readings are kept on this device as often as it lets a file keep something.
const store = "coatday pocket: " + data.job;
let readings = [];
let kept = true;
try {
  readings = JSON.parse(localStorage.getItem(store) || "[]");
  if (!Array.isArray(readings)) readings = [];
} catch { kept = false; }

function keep() {
  try {
    localStorage.setItem(store, JSON.stringify(readings));
    kept = localStorage.getItem(store) !== null;
  } catch { kept = false; }
  show();
}

const cell = text => /[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
const csv = () => [data.columns, ...readings.map(one => data.columns.map(column => String(one[column] ?? "")))]
  .map(row => row.map(cell).join(",")).join("\n") + "\n";

function show() {
  by("kept").textContent = kept
    ? `${readings.length} kept on this device. Hand them over before you clear the browser.`
    : "This device keeps nothing for a file. Hand the readings over before you close this page.";
  const list = by("list");
  list.replaceChildren(...readings.map((one, at) => {
    const item = document.createElement("li"), out = document.createElement("button");
    item.textContent = data.columns.map(column => one[column]).filter(Boolean).join(", ");
    out.type = "button";
    out.textContent = "Take out";
    out.addEventListener("click", () => { readings.splice(at, 1); keep(); });
    item.append(out);
    return item;
  }));
  by("csv").value = csv();
  by("download").href = "data:text/csv;charset=utf-8," + encodeURIComponent(csv());
}

// The log is in standard time: the clock without daylight saving time.
function now() {
  const date = new Date(), year = date.getFullYear();
  const offset = Math.max(new Date(year, 0, 1).getTimezoneOffset(), new Date(year, 6, 1).getTimezoneOffset());
  const standard = new Date(date.getTime() - offset * 60000);
  return standard.toISOString().slice(0, 16).replace("T", " ");
}

by("reading").addEventListener("submit", event => {
  event.preventDefault();
  const form = event.target, one = {};
  for (const column of data.columns) one[column] = form.elements[column].value.trim();
  if (!one.time) one.time = now();
  if (!one.place || !one.value) {
    by("reading-result").textContent = "Place and value are needed.";
    return;
  }
  readings.push(one);
  keep();
  by("reading-result").textContent = `Kept: ${one.place}, ${one.value}.`;
  for (const column of ["value", "time", "note"]) form.elements[column].value = "";
  form.elements.value.focus();
});

by("copy").addEventListener("click", async () => {
  by("csv").select();
  try { await navigator.clipboard.writeText(csv()); } catch { document.execCommand("copy"); }
});
show();
