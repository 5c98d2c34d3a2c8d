/* Leaving: what was done and used, by taps; the hour by itself. */

import * as addresses from "../addresses.js";
import { button, link, make, notice, question, tap } from "../dom.js";
import { writing } from "../store.js";
import { begun, leaveVisit } from "../visits.js";
import { say } from "../words.js";
import { backToRows, openVisit, placeWords } from "./visit.js";

const ADDED = [1, 5, 10];
const MOST = 9_999;

export async function leave(app, { visit: key }) {
  const walk = await openVisit(app, key);
  if (!walk || walk.visit.left) {
    return { elsewhere: walk ? addresses.rows(key) : addresses.home() };
  }
  const draft = (await app.database.get("drafts", place(key))) ?? freshLeave(key, walk);
  const screen = { app, walk, draft, keep: (change) => app.act(() => keepLeave(app, draft, change)) };
  const unsaved = await begun(app.database, key);
  return {
    title: say("leave-title", { yard: walk.visit.name }),
    back: walk.visit.stopped ? { href: addresses.stop(key), label: say("back") } : backToRows(walk.visit),
    place: placeWords(walk),
    subheading: [say("looked-of", { done: walk.done.size, count: walk.pack.colonies.length })],
    top: [unsaved.length ? notice("mind", say("begun-not-saved"), unsaved.join(", ")) : null, usedSoFar(screen)],
    pad: draft.pad === "jobs" ? jobsPad(screen) : materialsPad(screen),
    bar: leaveBar(screen),
    awake: true,
  };
}

function place(key) {
  return `${key}/ leave`; // no tag begins with a space
}

function freshLeave(key, { records }) {
  const looked = records.some((record) => ["look", "tally"].includes(record.kind));
  const jobs = [looked ? "look" : "", records.some((record) => record.payload.strips_pulled) ? "strips" : ""].filter(Boolean);
  return { place: place(key), visit: key, pad: "jobs", jobs, materials: {}, chosen: "" };
}

function usedSoFar({ walk, draft }) {
  const used = walk.pack.materials.filter(([code]) => draft.materials[code]).map(([code, label]) => `${label}: ${draft.materials[code]}`);
  return used.length && draft.pad === "materials" ? make("p", { class: "field-answered" }, used.join(" · ")) : null;
}

function jobsPad({ walk, draft, keep }) {
  const cells = walk.pack.jobs.map(([code, label]) => {
    const turn = ({ jobs }) => ({ jobs: jobs.includes(code) ? jobs.filter((job) => job !== code) : [...jobs, code] });
    return tap(`job-${code}`, label, { pressed: draft.jobs.includes(code), onclick: () => keep(turn) });
  });
  return [question(say("jobs-done"), cells, { grid: "taps-three" })];
}

function materialsPad({ walk, draft, keep }) {
  const cells = walk.pack.materials.map(([code, label]) =>
    tap(`material-${code}`, label, { pressed: draft.chosen === code, onclick: () => keep(() => ({ chosen: code })) }),
  );
  const chosen = walk.pack.materials.find(([code]) => code === draft.chosen);
  return [question(say("materials-used"), cells, { grid: "taps-three" }), chosen ? amount(chosen, draft, keep) : null].filter(Boolean);
}

function amount([code, label], draft, keep) {
  const add = (by) => () => keep(({ materials }) => ({ materials: { ...materials, [code]: Math.min((materials[code] ?? 0) + by, MOST) } }));
  const none = tap("amount-none", say("none"), { kind: "tap-none", onclick: () => keep(({ materials }) => ({ materials: { ...materials, [code]: 0 } })) });
  const value = make("output", { class: "tap-value" }, String(draft.materials[code] ?? 0));
  return question(label, [none, value, ...ADDED.map((by) => tap(`amount-${by}`, `+${by}`, { onclick: add(by) }))], { grid: "taps-stepper" });
}

function leaveBar({ app, walk, draft, keep }) {
  const { visit } = walk;
  if (draft.pad === "jobs") {
    return [link(say("back"), addresses.rows(visit.key)), button("next", say("next"), () => keep(() => ({ pad: "materials" })), { primary: true })];
  }
  return [
    button("back", say("back"), () => keep(() => ({ pad: "jobs" }))),
    button("leave", say("leave"), () => app.act(() => save(app, visit, draft)), { primary: true }),
  ];
}

async function keepLeave(app, drawn, change) {
  const transaction = writing(app.database, ["drafts"]);
  const draft = (await transaction.store.get(drawn.place)) ?? drawn;
  await transaction.store.put({ ...draft, ...change(draft) });
  await transaction.done;
}

async function save(app, visit, drawn) {
  const draft = (await app.database.get("drafts", drawn.place)) ?? drawn;
  await leaveVisit(app.database, visit, draft, { device: app.device, now: app.now() });
  app.sender.nudge({ afresh: true });
  app.go(addresses.home());
}
