// The form: what is typed goes to the draft, and what comes back is put under its field.

const WAIT = 120;

export function mountForm(element, draft, fail) {
  const timers = new Map();

  const value = (kind, text) => {
    const trimmed = text.trim();
    if (trimmed === "") return null;
    // A number without a unit is a number; all else is text, and the library says what is wrong with it.
    return kind === "number" && /^-?\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) : text;
  };

  const send = (path, to) => draft.edit([{ path, value: to }]).catch(fail);

  function typed(input) {
    const path = input.dataset.path;
    clearTimeout(timers.get(path));
    timers.delete(path);
    // A key that is needed stays, empty; one that may be left out goes.
    const needed = !input.parentElement.querySelector("[data-clear]");
    const to = value(input.dataset.kind, input.value);
    send(path, to === null && needed ? "" : to);
  }

  element.addEventListener("input", event => {
    const input = event.target;
    if (input.dataset.calendar !== undefined && input.value) {
      const text = document.getElementById(input.dataset.calendar);
      text.value = input.value;
      return typed(text);
    }
    if (input.dataset.choose !== undefined) {
      const chosen = input.tagName === "SELECT" ? input.value : input.dataset.value;
      return send(input.dataset.choose, JSON.parse(chosen));
    }
    if (input.dataset.path !== undefined) {
      clearTimeout(timers.get(input.dataset.path));
      timers.set(input.dataset.path, setTimeout(() => typed(input), WAIT));
    }
  });

  element.addEventListener("focusout", event => {
    const input = event.target;
    if (timers.has(input.dataset?.path)) typed(input);
  });

  element.addEventListener("click", event => {
    const button = event.target.closest("button");
    if (!button) return;
    if (button.dataset.clear !== undefined) {
      const input = button.parentElement.querySelector("[data-path]");
      if (input) input.value = "";
      send(button.dataset.clear, null);
    } else if (button.dataset.put !== undefined) {
      send(button.dataset.put, JSON.parse(button.dataset.value));
    }
  });

  draft.onChange(found => {
    if (found.form !== null) replace(element, found.form);
    else patch(element, found);
  });
}

function patch(element, found) {
  const notes = new Map(found.notes);
  for (const note of element.querySelectorAll("[data-note]")) {
    const html = notes.get(note.dataset.note);
    if (html !== undefined && note.innerHTML !== html) note.innerHTML = html;
  }
  for (const input of element.querySelectorAll("[data-path]")) {
    const wrong = (notes.get(input.dataset.path) ?? "").includes('class="fault"');
    input.setAttribute("aria-invalid", String(wrong));
    const dont = input.parentElement.querySelector("[data-clear]");
    dont?.setAttribute("aria-pressed", String(input.value.trim() === ""));
  }
  element.querySelectorAll("details.group .line").forEach((line, at) => { line.textContent = found.lines[at] ?? ""; });
}

// A new form keeps what was open, where one was typing, and how far it was scrolled.
function replace(element, html) {
  const first = element.childElementCount === 0;
  const open = new Set([...element.querySelectorAll("details[open]")].map(key));
  const here = document.activeElement?.id;
  const place = [document.activeElement?.selectionStart, document.activeElement?.selectionEnd];
  const scrolled = element.scrollTop;
  element.innerHTML = html;
  for (const details of element.querySelectorAll("details")) {
    if (open.has(key(details))) details.open = true;
  }
  if (first) element.querySelector("details.group")?.setAttribute("open", "");
  element.scrollTop = scrolled;
  const again = here && document.getElementById(here);
  if (again && element.contains(again)) {
    again.focus({ preventScroll: true });
    try { again.setSelectionRange?.(place[0], place[1]); } catch { /* not a text */ }
  }
}

const key = details => details.id || details.parentElement?.closest("[id]")?.id + " more";
