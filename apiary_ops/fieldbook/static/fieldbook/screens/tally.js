/* A yard counted up by eye: how many of each grade, by steps of one and five, and how many are dead. */

import * as addresses from "../addresses.js";
import { button, link, make, notice, question, tap } from "../dom.js";
import { writing } from "../store.js";
import { saveTally } from "../visits.js";
import { say } from "../words.js";
import { backToRows, openVisit, placeWords, takeBackSaved } from "./visit.js";

const STEPS = [-5, -1, 1, 5];
const MOST = 9_999;

export async function tally(app, { visit: key }) {
  const walk = await openVisit(app, key);
  if (!walk) {
    return { elsewhere: addresses.home() };
  }
  const { visit, pack, records } = walk;
  const draft = (await app.database.get("drafts", place(key))) ?? freshTally(key, pack.grades);
  const saved = records.some((record) => record.kind === "tally");
  const counted = Object.values(draft.counts).reduce((sum, count) => sum + count, draft.dead);
  const step = (change) => app.act(() => keepTally(app, draft, change));
  const lines = [
    ...pack.grades.map((grade) => counter(grade, draft.counts[grade] ?? 0, (by) => step((now) => ({ counts: { ...now.counts, [grade]: more(now.counts[grade], by) } })))),
    counter(say("dead"), draft.dead, (by) => step((now) => ({ dead: more(now.dead, by) }))),
  ];
  return {
    title: say("tally-title"),
    back: backToRows(visit),
    place: placeWords(walk),
    subheading: [say("counted-of", { counted, count: pack.colonies.length })],
    top: [saved ? notice("done", say("saved"), say("tally-saved")) : null],
    pad: lines,
    bar: [
      visit.undoable ? button("undo", say("undo"), () => app.act(() => takeBackSaved(app, visit))) : link(say("the-yard"), addresses.rows(key)),
      saved
        ? link(say("leave"), addresses.leave(key), { primary: true })
        : button("save", say("save-tally"), () => app.act(() => save(app, visit, key)), { primary: true, disabled: counted === 0 }),
    ],
    awake: true,
  };
}

function place(key) {
  return `${key}/ tally`; // no tag begins with a space
}

function freshTally(key, grades) {
  return { place: place(key), visit: key, counts: Object.fromEntries(grades.map((grade) => [grade, 0])), dead: 0 };
}

function counter(label, count, step) {
  const cells = STEPS.map((by) => tap(`${label}${by}`, by < 0 ? `−${-by}` : `+${by}`, { onclick: () => step(by), disabled: by < 0 && count === 0 }));
  cells.splice(2, 0, make("output", { class: "tap-value" }, String(count)));
  return question(label, cells, { grid: "taps-stepper" });
}

function more(count, by) {
  return Math.min(Math.max((count ?? 0) + by, 0), MOST);
}

async function keepTally(app, drawn, change) {
  const transaction = writing(app.database, ["drafts"]);
  const draft = (await transaction.store.get(drawn.place)) ?? drawn;
  await transaction.store.put({ ...draft, ...change(draft) });
  await transaction.done;
}

async function save(app, visit, key) {
  const draft = await app.database.get("drafts", place(key));
  if (draft) {
    await saveTally(app.database, visit, draft, { device: app.device, now: app.now() });
    app.sender.nudge();
  }
}
