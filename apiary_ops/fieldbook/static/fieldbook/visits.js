/* What is done on a visit. Each act is one transaction: the record, the draft and the place in the walk move together. */

import { clockTime } from "./days.js";
import { draftPlace, emptyDraft, saysNothing } from "./looks.js";
import { letGo, makeRecord, takeBack } from "./outbox.js";
import { writing } from "./store.js";

/** Begin a visit: `header` as tapped, {yard, name, on, crew, temperature_c, sky, view, depth, km}. */
export async function startVisit(database, header, { who, device, now }) {
  const { name, ...facts } = header;
  const visit = {
    ...facts,
    name,
    key: crypto.randomUUID(),
    arrived: clockTime(now),
    startedAt: now.toISOString(),
    observed_by: who.id,
    observed_name: who.name,
    left: "",
    stopped: "",
    undoable: null,
  };
  const record = makeRecord(visit, "visit", { ...facts, arrived: visit.arrived }, { now, device, key: visit.key, held: false });
  const transaction = writing(database, ["visits", "records", "drafts", "state"]);
  await transaction.objectStore("visits").put(visit);
  await transaction.objectStore("records").add(record);
  await transaction.objectStore("drafts").delete(headerPlace(facts.yard));
  // The next yard of the day mostly has the same crew and the same way of counting.
  const { crew, view, depth } = facts;
  await transaction.objectStore("state").put({ name: "lastHeader", value: { crew, view, depth } });
  await transaction.done;
  return visit;
}

export function headerPlace(yard) {
  return `start/${yard}`;
}

export async function draftOf(database, visit, tag) {
  return (await database.get("drafts", draftPlace(visit.key, tag))) ?? emptyDraft(visit, tag);
}

/** Write a tap down, before the screen answers it. */
export async function keepDraft(database, draft) {
  const transaction = writing(database, ["drafts"]);
  await transaction.store.put(draft);
  await transaction.done;
}

/** Colonies begun and not saved, by tag. */
export async function begun(database, visitKey) {
  const drafts = await database.getAll("drafts", IDBKeyRange.bound(`${visitKey}/`, `${visitKey}/\uffff`));
  return drafts.filter((draft) => draft.tag && !saysNothing(draft)).map((draft) => draft.tag);
}

/** Save the look of one colony, with the tasks done at it. A second one of it is a second record: a person decides. */
export async function saveLook(database, visit, draft, { device, now }) {
  const made = { now, device };
  const records = draft.tasks.map((task) => makeRecord(visit, "task_done", { task }, made));
  if (Object.keys(draft.payload).length) {
    records.unshift(makeRecord(visit, "look", { tag: draft.tag, ...draft.payload }, made));
  }
  const stopped = draft.payload.suspect_disease ? draft.tag : visit.stopped;
  return saveRecords(database, { ...visit, stopped }, records, draft);
}

export function saveLoss(database, visit, draft, cause, { device, now }) {
  const record = makeRecord(visit, "lost", { tag: draft.tag, cause }, { now, device });
  return saveRecords(database, visit, [record], draft);
}

export function saveTally(database, visit, draft, { device, now }) {
  const { counts, dead } = draft;
  return saveRecords(database, visit, [makeRecord(visit, "tally", { counts, dead }, { now, device })], draft);
}

export function saveFrameMove(database, visit, draft, { device, now }) {
  const { from, to, brood, food, with_bees } = draft;
  const record = makeRecord(visit, "frames", { from, to, brood, food, with_bees }, { now, device });
  return saveRecords(database, visit, [record], draft);
}

export function saveYardTask(database, visit, task, { device, now }) {
  const record = makeRecord(visit, "task_done", { task }, { now, device });
  return saveRecords(database, visit, [record], null);
}

/** Leave: when, what was done and used. Nothing of the visit is held back from here on. */
export async function leaveVisit(database, visit, draft, { device, now }) {
  const left = clockTime(now);
  const payload = { left, jobs: draft.jobs, materials: materialsUsed(draft.materials) };
  const transaction = writing(database, ["visits", "records", "drafts"]);
  await transaction.objectStore("records").add(makeRecord(visit, "leave", payload, { now, device, held: false }));
  await letGo(transaction.objectStore("records"), visit.key);
  await transaction.objectStore("visits").put({ ...visit, left, undoable: null });
  await transaction.objectStore("drafts").delete(draft.place);
  await transaction.done;
}

function materialsUsed(materials) {
  return Object.entries(materials)
    .filter(([, quantity]) => quantity > 0)
    .map(([material, quantity]) => ({ material, quantity }));
}

/** Take back what was saved last and bring back what was tapped for it; not when it may already be at the desk. */
export async function undoSaved(database, visit) {
  const { keys, draft, stopped } = visit.undoable;
  const transaction = writing(database, ["visits", "records", "drafts"]);
  const taken = await takeBack(transaction.objectStore("records"), keys);
  if (taken) {
    await transaction.objectStore("visits").put({ ...visit, stopped, undoable: null });
    if (draft) {
      await transaction.objectStore("drafts").put(draft);
    }
  }
  await transaction.done;
  return { taken, draft };
}

async function saveRecords(database, visit, records, draft) {
  const transaction = writing(database, ["visits", "records", "drafts"]);
  const before = await transaction.objectStore("visits").get(visit.key);
  for (const record of records) {
    await transaction.objectStore("records").add(record);
  }
  const undoable = { keys: records.map((record) => record.key), draft, stopped: before.stopped };
  await transaction.objectStore("visits").put({ ...visit, undoable });
  if (draft) {
    await transaction.objectStore("drafts").delete(draft.place);
  }
  await transaction.done;
}
