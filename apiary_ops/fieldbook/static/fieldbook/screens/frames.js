/* Frames moved from one colony to another: it moves disease too, so it is written down where it happens. */

import * as addresses from "../addresses.js";
import { button, link, make, question, tap } from "../dom.js";
import { complain } from "../frame.js";
import { writing } from "../store.js";
import { saveFrameMove } from "../visits.js";
import { say } from "../words.js";
import { backToRows, openVisit, placeWords } from "./visit.js";

const MOST = 10;

export async function frames(app, { visit: key }) {
  const walk = await openVisit(app, key);
  if (!walk || walk.visit.left || walk.visit.stopped) {
    return { elsewhere: walk ? addresses.rows(key) : addresses.home() };
  }
  const draft = (await app.database.get("drafts", place(key))) ?? freshMove(key);
  const screen = { app, walk, draft, keep: (change) => app.act(() => keepMove(app, draft, change)) };
  const pads = { from: fromPad, to: toPad, what: whatPad };
  return {
    title: say("move-frames"),
    back: backToRows(walk.visit),
    place: placeWords(walk),
    subheading: [moveWords(draft)],
    // A yard of forty fills more than the lower half: its colonies scroll, as the list of the yard does.
    [draft.pad === "what" ? "pad" : "top"]: pads[draft.pad](screen),
    bar: frameBar(screen),
    awake: true,
  };
}

function place(key) {
  return `${key}/ frames`; // no tag begins with a space
}

function freshMove(key) {
  return { place: place(key), visit: key, pad: "from", from: "", to: "", brood: 0, food: 0, with_bees: false };
}

function moveWords({ from, to }) {
  return to ? say("frames-from-to", { from, to }) : from ? say("frames-from", { from }) : say("frames-help");
}

function colonyCells({ walk, draft, keep }, name, pad, without = "") {
  return walk.pack.colonies
    .filter((colony) => colony.tag !== without && !colony.on_hold)
    .map(({ tag, position }) =>
      tap(`${name}-${tag}`, `${position} · ${tag}`, { pressed: draft[name] === tag, onclick: () => keep(() => ({ [name]: tag, pad })) }),
    );
}

function fromPad(screen) {
  return [question(say("frames-from-which"), colonyCells(screen, "from", "to"), { grid: "taps-three" })];
}

function toPad(screen) {
  return [question(say("frames-to-which"), colonyCells(screen, "to", "what", screen.draft.from), { grid: "taps-three" })];
}

function whatPad({ draft, keep }) {
  const counter = (name) => {
    const step = (by) => () => keep((now) => ({ [name]: Math.min(Math.max(now[name] + by, 0), MOST) }));
    const value = make("output", { class: "tap-value" }, String(draft[name]));
    return question(say(`frames-${name}`), [tap(`${name}-less`, "−1", { onclick: step(-1) }), value, tap(`${name}-more`, "+1", { onclick: step(1) })], { grid: "taps-three" });
  };
  const bees = tap("with-bees", say("with-bees"), { pressed: draft.with_bees, onclick: () => keep((now) => ({ with_bees: !now.with_bees })) });
  return [counter("brood"), counter("food"), question(say("bees"), [bees], { grid: "taps-one", quiet: true })];
}

function frameBar(screen) {
  const { app, walk, draft, keep } = screen;
  const before = { to: "from", what: "to" }[draft.pad];
  return [
    before ? button("back", say("back"), () => keep(() => ({ pad: before }))) : link(say("back"), addresses.rows(walk.visit.key)),
    draft.pad === "what" ? button("save", say("save"), () => app.act(() => save(screen)), { primary: true }) : null,
  ];
}

async function keepMove(app, drawn, change) {
  const transaction = writing(app.database, ["drafts"]);
  const draft = (await transaction.store.get(drawn.place)) ?? drawn;
  await transaction.store.put({ ...draft, ...change(draft) });
  await transaction.done;
}

async function save({ app, walk }) {
  const draft = await app.database.get("drafts", place(walk.visit.key));
  if (!draft || draft.brood + draft.food === 0) {
    complain(say("no-frames-counted"));
    return;
  }
  await saveFrameMove(app.database, walk.visit, draft, { device: app.device, now: app.now() });
  complain("");
  app.sender.nudge();
  app.go(addresses.rows(walk.visit.key));
}
