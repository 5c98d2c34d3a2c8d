/* One colony: what is known of it above, one question at a time below. A plain look is count, lower box, patty, next. */

import * as addresses from "../addresses.js";
import { sayDay } from "../days.js";
import { button, make, notice } from "../dom.js";
import { complain } from "../frame.js";
import { frames, framesOf, sameAsLast, saysNothing, undo } from "../looks.js";
import { sayTemperature } from "../units.js";
import { draftOf, keepDraft, saveLook } from "../visits.js";
import { colonyOf, placeOf } from "../walk.js";
import { say } from "../words.js";
import { padOf } from "./pads.js";
import { backToRows, onwards, openVisit, placeWords, takeBackSaved } from "./visit.js";

const FRAMES_OUT_C = 10; // below this brood chills out of the hive; common practice

export async function look(app, { visit: key, tag }) {
  const walk = await openVisit(app, key);
  const colony = walk && colonyOf(walk.pack, tag);
  if (!colony) {
    return { elsewhere: walk ? addresses.rows(key) : addresses.home() };
  }
  // A yard on suspicion is walked no further.
  if (walk.visit.stopped) {
    return { elsewhere: addresses.stop(key) };
  }
  const draft = await draftOf(app.database, walk.visit, tag);
  const screen = lookScreen(app, walk, colony, draft);
  return {
    title: `${colony.position} · ${tag}`,
    back: backToRows(walk.visit),
    place: placeWords(walk),
    subheading: [colonyWords(walk, colony)],
    top: [...known(walk, colony), tooCold(walk, draft), answered(draft, screen)],
    pad: padOf(screen),
    bar: lookBar(screen),
    fills: true,
    awake: true,
  };
}

/** What the pads need to draw themselves and to act. */
function lookScreen(app, walk, colony, draft) {
  // A change works on the draft as it is kept, not as it was drawn: a quick thumb is ahead of the screen.
  const change = async (changing) => {
    complain("");
    const kept = await draftOf(app.database, walk.visit, colony.tag);
    // A second tap on a pad that has just led on would answer a question nobody sees any more.
    if (kept.pad === draft.pad) {
      await keepDraft(app.database, changing(kept));
    }
  };
  return {
    app,
    walk,
    colony,
    draft,
    view: walk.visit.view,
    last: sameAsLast(colony.last, walk.visit.view),
    openTasks: colony.tasks.filter((task) => !walk.tasksDone.has(task.id)),
    keep: (changing) => app.act(() => change(changing)),
    keepQuietly: (changing) => app.write(() => change(changing)),
    stopAt: () => app.act(() => saveAndStop(app, walk, colony)),
    end: () => app.act(() => app.go(addresses.lost(walk.visit.key, colony.tag))),
  };
}

function colonyWords({ pack }, colony) {
  const place = say("of", { place: placeOf(pack, colony.tag) + 1, count: pack.colonies.length });
  const purpose = colony.grade?.includes(colony.purpose) ? "" : colony.purpose;
  return [place, say("boxes", { count: colony.boxes }), colony.grade, purpose].filter(Boolean).join(" · ");
}

function known(walk, colony) {
  const { last } = colony;
  const counted = last && (last.frames ? say("frames-on", { frames: framesOf(last.frames), day: sayDay(last.on) }) : sayDay(last.on));
  const due = colony.treatments.map((treatment) => say("due-out", { name: treatment.name, day: sayDay(treatment.due_out_on) }));
  const tasks = colony.tasks.filter((task) => !walk.tasksDone.has(task.id)).map((task) => say("task-due", { what: task.what, day: sayDay(task.due_on) }));
  const lines = [last ? [say("last-time", { what: counted }), last.words].filter(Boolean).join(" · ") : say("first-look"), ...due, ...tasks];
  return [
    colony.on_hold ? notice("broken", say("hold-word"), colony.on_hold === true ? "" : colony.on_hold) : null,
    walk.done.has(colony.tag) ? notice("done", say("saved"), savedWords(walk.done.get(colony.tag))) : null,
    make("ul", { class: "field-known" }, ...lines.map((line) => make("li", {}, line))),
  ];
}

/** Sealed brood is only counted with frames in the hand. */
function tooCold({ visit, pack }, draft) {
  const cold = visit.temperature_c !== null && Number(visit.temperature_c) < FRAMES_OUT_C;
  const limit = sayTemperature(FRAMES_OUT_C, pack.units.temperature);
  return cold && draft.payload.sealed_halves !== undefined ? notice("mind", say("cold-word"), say("cold", { limit })) : null;
}

function savedWords(record) {
  return record.tried ? say("saved-and-sent") : say("saved-not-sent");
}

/** What was tapped so far, in words, so that the pad may show one question only. */
function answered(draft, { openTasks }) {
  const { payload } = draft;
  const count = (name) => (payload[name] === undefined ? "" : say(`${name}-said`, { frames: frames(payload[name]) }));
  const chosen = (name) => (payload[name] === undefined ? "" : say(`${name}-${payload[name]}-said`));
  const done = (name) => (payload[name] ? say(name) : "");
  const said = [
    ...["below_halves", "above_halves"].map(count),
    ...["lower_box", "patty", "queen", "cells", "heft"].map(chosen),
    count("sealed_halves"),
    ...["flying", "strips_pulled", "lower_box_off", "patty_given", "broken_frame"].map(done),
    ...openTasks.filter((task) => draft.tasks.includes(task.id)).map((task) => say("task-done-said", { what: task.what })),
    payload.note ?? "",
  ].filter(Boolean);
  return make("p", { class: "field-answered", role: "status" }, said.join(" · "));
}

function lookBar(screen) {
  const { app, walk, colony, draft } = screen;
  const undoable = draft.steps.length > 0 || walk.visit.undoable !== null;
  return [
    button("undo", say("undo"), () => app.act(() => undoLast(screen)), { disabled: !undoable }),
    button("skip", say("skip"), () => app.act(() => app.go(onwards(walk, colony.tag)))),
    button("next", say("next"), () => app.act(() => saveAndGoOn(screen)), { primary: true }),
  ];
}

async function undoLast({ app, walk, draft }) {
  complain("");
  const kept = await draftOf(app.database, walk.visit, draft.tag);
  if (kept.steps.length) {
    await keepDraft(app.database, undo(kept));
    return;
  }
  if (walk.visit.undoable) {
    await takeBackSaved(app, walk.visit);
  }
}

async function saveAndGoOn({ app, walk, colony }) {
  // Read anew: a quick thumb may have tapped an answer and "next" before the screen was drawn again.
  const draft = await draftOf(app.database, walk.visit, colony.tag);
  if (saysNothing(draft)) {
    const fresh = await openVisit(app, walk.visit.key);
    if (fresh.done.has(colony.tag)) {
      app.go(onwards(fresh, colony.tag));
    } else {
      complain(say("nothing-tapped"));
    }
    return;
  }
  await saveLook(app.database, walk.visit, draft, { device: app.device, now: app.now() });
  app.sender.nudge();
  app.go(onwards(walk, colony.tag));
}

async function saveAndStop(app, walk, colony) {
  const draft = await draftOf(app.database, walk.visit, colony.tag);
  const suspect = { ...draft, payload: { ...draft.payload, suspect_disease: true } };
  await saveLook(app.database, walk.visit, suspect, { device: app.device, now: app.now() });
  app.sender.nudge();
  app.go(addresses.stop(walk.visit.key));
}
