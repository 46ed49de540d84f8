// Talks to the server on this computer: the token goes along with every question.

const KEY = "coatday token";

// The token comes in the address behind "#" and is taken out of it at once.
export function takeToken() {
  const found = /^#([0-9a-f]{64})$/.exec(location.hash);
  if (found) {
    sessionStorage.setItem(KEY, found[1]);
    history.replaceState(null, "", "#/");
  }
  return sessionStorage.getItem(KEY) !== null;
}

const headers = () => ({ "content-type": "application/json", "x-coatday-token": sessionStorage.getItem(KEY) ?? "" });

// What went wrong, with whatever the server said beside it.
export class Fault extends Error {
  constructor(text, status = 0, data = {}) {
    super(text);
    this.status = status;
    this.data = data;
  }
}

async function send(path, body, signal) {
  let response;
  try {
    response = await fetch(path, body === undefined
      ? { headers: headers(), signal }
      : { method: "POST", headers: headers(), body: JSON.stringify(body), signal });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Fault("The page cannot reach coatday. Is it still running? Your changes are kept in this browser.");
  }
  if (!response.ok) {
    let data = {};
    try { data = await response.json(); } catch { /* no words came along */ }
    throw new Fault(data.fault ?? "coatday could not answer. Reload the page.", response.status, data);
  }
  return response;
}

export const ask = async (path, body, signal) => (await send(path, body, signal)).json();
export const bytes = async (path, body) => (await send(path, body)).blob();

// Server-sent events of an answer; each is told as it comes.
export async function stream(path, body, signal, tell) {
  const response = await send(path, body, signal);
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let waiting = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    waiting += value;
    let end;
    while ((end = waiting.indexOf("\n\n")) >= 0) {
      const lines = waiting.slice(0, end).split("\n");
      waiting = waiting.slice(end + 2);
      const part = name => lines.filter(line => line.startsWith(name + ":")).map(line => line.slice(name.length + 1).trimStart());
      const data = part("data").join("\n");
      if (data) tell(part("event")[0] ?? "", JSON.parse(data));
    }
  }
}
