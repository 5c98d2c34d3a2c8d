/* The yard as a list in walking order: what is done, what is begun, what was put aside for a person. */

import * as addresses from "../addresses.js";
import { sayDay } from "../days.js";
import { button, link, list, notice, question, stopRow, tap } from "../dom.js";
import { frames } from "../looks.js";
import { begun, saveYardTask } from "../visits.js";
import { say } from "../words.js";
import { openVisit, placeWords, takeBackSaved } from "./visit.js";

export async function rows(app, { visit: key }) {
  const walk = await openVisit(app, key);
  if (!walk) {
    return { elsewhere: addresses.home() };
  }
  const { visit, pack, done } = walk;
  const unsaved = new Set(await begun(app.database, key));
  const next = pack.colonies.find((colony) => !done.has(colony.tag));
  return {
    title: visit.name,
    back: { href: addresses.home(), label: say("field-book") },
    place: placeWords(walk),
    subheading: [say("looked-of", { done: done.size, count: pack.colonies.length })],
    top: [
      visit.stopped ? notice("broken", say("stopped-word"), say("stopped-rows", { tag: visit.stopped })) : null,
      visit.left ? notice("done", say("left-word"), say("left-at", { hour: visit.left })) : yardTasks(app, walk),
      list(...pack.colonies.map((colony) => row(walk, colony, unsaved))),
    ],
    bar: visit.left ? [link(say("field-book"), addresses.home(), { primary: true })] : rowsBar(app, walk, next),
    awake: !visit.left,
  };
}

function row({ visit, done }, colony, unsaved) {
  const record = done.get(colony.tag);
  const mark = record ? "✓ " : "";
  const lines = [record ? recordWords(record) : "", unsaved.has(colony.tag) ? say("begun-not-saved") : "", record ? fateWords(record) : ""];
  const href = visit.left || visit.stopped ? addresses.rows(visit.key) : addresses.look(visit.key, colony.tag);
  return stopRow(href, `${mark}${colony.position} · ${colony.tag}`, lines.filter(Boolean).join(" · "));
}

function recordWords({ kind, payload }) {
  if (kind === "lost") {
    return say("dead");
  }
  const halves = payload.below_halves ?? payload.above_halves;
  return halves === undefined ? say("looked") : say("frames", { frames: frames(halves) });
}

function fateWords({ state, words }) {
  return ["question", "refused", "waiting", "kept"].includes(state) ? [say(`fate-${state}`), words].filter(Boolean).join(": ") : "";
}

function yardTasks(app, { visit, pack, tasksDone }) {
  const cells = pack.tasks
    .filter((task) => !tasksDone.has(task.id))
    .map((task) =>
      tap(`task-${task.id}`, say("task-due", { what: task.what, day: sayDay(task.due_on) }), {
        onclick: () =>
          app.act(async () => {
            await saveYardTask(app.database, visit, task.id, { device: app.device, now: app.now() });
            app.sender.nudge();
          }),
      }),
    );
  return cells.length ? question(say("tasks-of-the-yard"), cells, { grid: "taps-one" }) : null;
}

function rowsBar(app, walk, next) {
  const { visit } = walk;
  const leave = link(say("leave"), addresses.leave(visit.key), { primary: !next });
  if (visit.stopped) {
    return [link(say("what-to-do"), addresses.stop(visit.key)), leave];
  }
  return [
    button("undo", say("undo"), () => app.act(() => takeBackSaved(app, visit)), { disabled: visit.undoable === null }),
    link(say("move-frames-short"), addresses.frames(visit.key)),
    leave,
    next ? link(say("go-on"), addresses.look(visit.key, next.tag), { primary: true }) : null,
  ];
}
