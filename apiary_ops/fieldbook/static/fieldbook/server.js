/* Everything asked of the server, as plain answers. No token outlives the call it is for. */

// The shell knows the desk's addresses; data-pack names a yard called "code".
const addresses = document.body.dataset;

export class NoSignal extends Error {}
export class SignedOut extends Error {}
export class NotAllowed extends Error {}
/** The server answered, but not with what was asked; `status` says how. */
export class Unanswered extends Error {
  constructor(status, words) {
    super(words);
    this.status = status;
  }
}

async function ask(path, options = {}) {
  let answer;
  try {
    answer = await fetch(path, { credentials: "same-origin", cache: "no-store", redirect: "error", ...options });
  } catch {
    throw new NoSignal();
  }
  if (answer.status === 401) {
    throw new SignedOut();
  }
  if (answer.status === 403) {
    throw new NotAllowed();
  }
  const facts = await answer.json().catch(() => null);
  if (!answer.ok || facts === null) {
    throw new Unanswered(answer.status, facts?.error ?? facts?.words ?? "");
  }
  return facts;
}

/** Where to sign in, and to come back to the book afterwards. */
export const signInAddress = () => addresses.signIn;

/** Who is signed in: {user, csrf, today, version}. */
export function askSession() {
  return ask(addresses.session);
}

/** The yards to choose from; a bare list or one under its name. */
export async function askYards() {
  const facts = await ask(addresses.yards);
  return Array.isArray(facts) ? facts : facts.yards;
}

export function askPack(code) {
  return ask(addresses.pack.replace(/code\/$/, `${encodeURIComponent(code)}/`));
}

/** Hand in records; answers [{key, state, words}] in their order. */
export async function sendRecords(records, csrf) {
  const headers = { "Content-Type": "application/json", "X-CSRFToken": csrf };
  const facts = await ask(addresses.records, { method: "POST", headers, body: JSON.stringify({ records }) });
  return facts.outcomes;
}
