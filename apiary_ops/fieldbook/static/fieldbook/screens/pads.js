/* The pads of a look: the big grid of frames, then lower box, patty and what is out of the ordinary, then the rest. */

import { make, question, tap } from "../dom.js";
import { MOST_HALVES, answer, frames, leaveOut, noted, takeOver, toggleTask, turnTo } from "../looks.js";
import { sayDay } from "../days.js";
import { say } from "../words.js";

const LOWER_BOX = ["empty", "few", "spilling", "brood"];
const PATTY = ["gone", "half", "plenty"];
const CELLS = ["none", "seen", "cut", "swarmed"];
const HEFT = ["light", "fair", "heavy"];
const DONE_HERE = ["strips_pulled", "lower_box_off", "broken_frame", "patty_given"];

export function padOf(screen) {
  const { pad } = screen.draft;
  const pads = { rest: restPad, more: morePad, tasks: tasksPad, sealed_halves: sealedPad };
  return (pads[pad] ?? countPad)(screen, pad);
}

function countPad(screen, name) {
  const { view, last, keep } = screen;
  // What ends a look before any count stands over the back button, away from "next".
  const cells = [
    ...countCells(screen, name),
    ...stops(screen),
    tap("not-counted", say("not-counted"), { kind: "tap-words tap-none", onclick: () => keep((draft) => leaveOut(draft, name, view)) }),
    tap("same", say("same-as-last"), { kind: "tap-words", disabled: last === null, onclick: () => keep((draft) => takeOver(draft, last)) }),
  ];
  return [question(say(name), cells, { grid: "taps-frames" })];
}

function stops({ stopAt, end }) {
  return [tap("dead", say("dead"), { kind: "tap-words tap-stop", onclick: end }), tap("disease", say("disease"), { kind: "tap-words tap-stop", onclick: stopAt })];
}

function sealedPad(screen, name) {
  const { keep } = screen;
  const back = tap("back-to-more", say("back"), { kind: "tap-wide tap-none", onclick: () => keep((draft) => turnTo(draft, "more")) });
  return [question(say(name), [...countCells(screen, name), back], { grid: "taps-frames" })];
}

function countCells({ draft, view, keep }, name) {
  return Array.from({ length: MOST_HALVES + 1 }, (_, halves) =>
    tap(`${name}-${halves}`, frames(halves), {
      pressed: draft.payload[name] === halves,
      onclick: () => keep((draft) => answer(draft, name, halves, view)),
    }),
  );
}

function restPad(screen) {
  const { openTasks, keep, colony } = screen;
  const hasLowerBox = colony.boxes > 1;
  const doneHere = DONE_HERE.filter((name) => hasLowerBox || name !== "lower_box_off");
  const tasks = openTasks.length
    ? tap("tasks", say("tasks", { count: openTasks.length }), { kind: "tap-leads", onclick: () => keep((draft) => turnTo(draft, "tasks")) })
    : choice(screen, "queen", "seen");
  return [
    ...(hasLowerBox ? [choices(screen, "lower_box", LOWER_BOX, "taps-four")] : []),
    choices(screen, "patty", PATTY, "taps-three"),
    question(
      say("exceptions"),
      [
        choice(screen, "queen", "none"),
        choice(screen, "queen", "spotty"),
        choice(screen, "queen", "drones"),
        tasks,
        choice(screen, "cells", "seen", say("cells-some")),
        ...doneHere.map((name) => toggle(screen, name)),
        tap("more", say("more"), { kind: "tap-leads", onclick: () => keep((draft) => turnTo(draft, "more")) }),
        ...stops(screen),
      ],
      { grid: "taps-four taps-exceptions", quiet: true },
    ),
  ];
}

function morePad(screen) {
  const { keep } = screen;
  return [
    choices(screen, "cells", CELLS, "taps-four"),
    question(say("heft"), [...HEFT.map((value) => choice(screen, "heft", value)), toggle(screen, "flying")], { grid: "taps-four" }),
    question(
      say("more"),
      [
        choice(screen, "queen", "seen"),
        tap("sealed", say("sealed_halves"), { kind: "tap-leads", onclick: () => keep((draft) => turnTo(draft, "sealed_halves")) }),
        tap("back-to-count", say("count-again"), { kind: "tap-leads", onclick: () => keep((draft) => turnTo(draft, firstCount(screen))) }),
        tap("back-to-rest", say("back"), { kind: "tap-none", onclick: () => keep((draft) => turnTo(draft, "rest")) }),
      ],
      { grid: "taps-four", quiet: true },
    ),
    noteField(screen),
  ];
}

function tasksPad({ draft, openTasks, keep }) {
  const cells = openTasks.map((task) =>
    tap(`task-${task.id}`, say("task-due", { what: task.what, day: sayDay(task.due_on) }), {
      pressed: draft.tasks.includes(task.id),
      onclick: () => keep((draft) => toggleTask(draft, task.id)),
    }),
  );
  const back = tap("back-to-rest", say("back"), { kind: "tap-none", onclick: () => keep((draft) => turnTo(draft, "rest")) });
  return [question(say("tasks-done-here"), [...cells, back], { grid: "taps-one" })];
}

/** For the one thing no tap can say. Kept at every letter, without drawing the screen under the thumb anew. */
function noteField({ draft, keepQuietly }) {
  const oninput = ({ target }) => keepQuietly((draft) => noted(draft, target.value.trim()));
  const field = make("input", { class: "field-note", type: "text", maxlength: 300, id: "note", autocomplete: "off", oninput });
  field.value = draft.payload.note ?? "";
  return make("div", { class: "taps" }, make("label", { for: "note" }, say("note")), field);
}

function choices(screen, name, values, grid) {
  return question(say(name), values.map((value) => choice(screen, name, value)), { grid });
}

function choice({ draft, view, keep }, name, value, label = say(`${name}-${value}`)) {
  return tap(`${name}-${value}`, label, {
    pressed: draft.payload[name] === value,
    onclick: () => keep((draft) => answer(draft, name, value, view)),
  });
}

function toggle(screen, name) {
  return choice(screen, name, true, say(name));
}

function firstCount({ view }) {
  return view === "above" ? "above_halves" : "below_halves";
}
