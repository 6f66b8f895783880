// Questions to the desk. A refusal is an error with a sentence, a hint and, in a conflict, their value.

export class Refusal extends Error {
  constructor(status, body) {
    super(body.said);
    Object.assign(this, { status, hint: body.hint, theirs: body.theirs, ask: body.ask });
  }
}

async function ask(method, path, body, type) {
  const headers = { "x-desk": "1" };
  if (type) headers["content-type"] = type;
  let response;
  try {
    response = await fetch(path, { method, headers, body });
  } catch {
    throw new Refusal(0, { said: lost.said, hint: lost.hint });
  }
  const answer = await response.json().catch(() => ({ said: response.statusText, hint: null }));
  if (!response.ok) throw new Refusal(response.status, answer);
  return answer;
}

/** What is said when the desk does not answer; set in the page's language. */
export const lost = { said: "the desk does not answer", hint: "" };

export const get = (path) => ask("GET", path);
export const change = (path, body) => ask("POST", path, JSON.stringify(body), "application/json");
export const begin = (path, body) => ask("PUT", path, JSON.stringify(body), "application/json");
export const send = (path, file) => ask("PUT", path, file, "application/octet-stream");
export const sendFile = (path, file) => ask("POST", path, file, "application/json");
export const remove = (path) => ask("DELETE", path);
/** A path with its parts and questions encoded. */
export function at(parts, questions = {}) {
  const path = "/api/" + parts.map(encodeURIComponent).join("/");
  const asked = Object.entries(questions).filter(([, v]) => v !== null && v !== undefined && v !== false);
  return asked.length ? `${path}?${new URLSearchParams(asked)}` : path;
}
