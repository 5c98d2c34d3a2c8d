/* One look as it is tapped: pure rules, a draft in and a new draft out. Nothing tapped is "not looked at", never 0. */

const STEPS_KEPT = 40;
export const MOST_HALVES = 20; // the big grid: 0 to 10 frames in halves

/** The counts asked for, by how this crew counts today. */
export function countsOf(view) {
  return { below: ["below_halves"], above: ["above_halves"], both: ["below_halves", "above_halves"] }[view];
}

export function emptyDraft(visit, tag) {
  return { place: draftPlace(visit.key, tag), visit: visit.key, tag, payload: {}, tasks: [], pad: countsOf(visit.view)[0], steps: [] };
}

export function draftPlace(visitKey, tag) {
  return `${visitKey}/${tag}`;
}

/** Answer one question; the same answer again takes it back. A count leads on to the next question by itself. */
export function answer(draft, name, value, view) {
  const payload = { ...draft.payload };
  const takesBack = payload[name] === value;
  if (takesBack) {
    delete payload[name];
  } else {
    payload[name] = value;
  }
  const leadsOn = countsOf(view).includes(name) && !takesBack;
  return step(draft, { payload, pad: leadsOn ? padAfter(name, view) : draft.pad });
}

/** Leave a count out: "not counted" leads on without a number. */
export function leaveOut(draft, name, view) {
  const { [name]: _left, ...payload } = draft.payload;
  return step(draft, { payload, pad: padAfter(name, view) });
}

export function turnTo(draft, pad) {
  return step(draft, { pad });
}

export function toggleTask(draft, id) {
  const tasks = draft.tasks.includes(id) ? draft.tasks.filter((other) => other !== id) : [...draft.tasks, id];
  return step(draft, { tasks });
}

/** A note is written, not tapped: it makes no step of its own for each letter. */
export function noted(draft, note) {
  const { note: _before, ...payload } = draft.payload;
  return { ...draft, payload: note ? { ...payload, note } : payload };
}

/** What was seen last time, as the answers to the questions asked today; null when that says nothing. */
export function sameAsLast(last, view) {
  const names = [...countsOf(view), "lower_box", "patty"];
  const known = names.filter((name) => last?.[name] !== undefined && last[name] !== null && last[name] !== "");
  return known.length ? Object.fromEntries(known.map((name) => [name, last[name]])) : null;
}

export function takeOver(draft, answers) {
  return step(draft, { payload: { ...draft.payload, ...answers }, pad: "rest" });
}

/** Undo the last tap. A draft without steps comes back as it is. */
export function undo(draft) {
  const before = draft.steps.at(-1);
  return before ? { ...draft, ...before, steps: draft.steps.slice(0, -1) } : draft;
}

export function saysNothing(draft) {
  return Object.keys(draft.payload).length === 0 && draft.tasks.length === 0;
}

/** "6½", as frames are written everywhere. */
export function frames(halves) {
  const whole = Math.floor(halves / 2);
  return halves % 2 ? `${whole || ""}½` : String(whole);
}

/** A strength as the desk writes it, "6.5", the way frames are written here; one finer than halves stays as it is. */
export function framesOf(text) {
  const halves = Number(text) * 2;
  return Number.isInteger(halves) ? frames(halves) : text;
}

function padAfter(name, view) {
  const counts = countsOf(view);
  return counts[counts.indexOf(name) + 1] ?? "rest";
}

function step(draft, change) {
  const { payload, tasks, pad } = draft;
  return { ...draft, ...change, steps: [...draft.steps, { payload, tasks, pad }].slice(-STEPS_KEPT) };
}
