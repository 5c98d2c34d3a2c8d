/* What was seen, as records that wait to be sent. A record is made once, with its key, and never changed. */

import { isoInstant } from "./days.js";
import { writing } from "./store.js";

export const WIRE_VERSION = 2;
const BATCH = 20;
// A saved look stays back this long, so that "undo" is a taking back and not a second opinion for the office.
const UNDO_MS = 8_000;

/** A new record of `visit`, not yet stored. `held` leaves time for undo. */
export function makeRecord(visit, kind, payload, { now, device, key = crypto.randomUUID(), held = true }) {
  return {
    key,
    kind,
    version: WIRE_VERSION,
    parent: kind === "visit" ? null : visit.key,
    device,
    observed_by: visit.observed_by,
    observed_at: isoInstant(now),
    payload,
    visit: visit.key,
    state: "unsent",
    tried: false,
    heldUntil: held ? now.getTime() + UNDO_MS : 0,
    words: "",
  };
}

/** A record as the server wants it: what the phone keeps beside it stays here. */
export function onTheWire({ key, kind, version, parent, device, observed_by, observed_at, payload }) {
  return { key, kind, version, parent, device, observed_by, observed_at, payload };
}

/**
 * The next records to send, in order, marked as tried: from here on they may have arrived, whatever the answer.
 * Stops at the first that is still held back, so that nothing overtakes it.
 */
export async function nextBatch(database, now, most = BATCH) {
  const transaction = writing(database, ["records"]);
  const batch = [];
  let cursor = await transaction.store.index("state").openCursor("unsent");
  while (cursor && batch.length < most && cursor.value.heldUntil <= now.getTime()) {
    const record = { ...cursor.value, tried: true };
    await cursor.update(record);
    batch.push(record);
    cursor = await cursor.continue();
  }
  await transaction.done;
  return batch;
}

/** Write down what became of records, by their keys. */
export async function noteOutcomes(database, outcomes) {
  const transaction = writing(database, ["records"]);
  const byKey = transaction.store.index("key");
  for (const { key, state, words } of outcomes) {
    const record = await byKey.get(key);
    if (record) {
      await transaction.store.put({ ...record, state, words: words ?? "" });
    }
  }
  await transaction.done;
}

/** Nothing of this visit is held back any longer: the crew is leaving. */
export async function letGo(records, visitKey) {
  for (const record of await records.index("visit").getAll(visitKey)) {
    if (record.heldUntil) {
      await records.put({ ...record, heldUntil: 0 });
    }
  }
}

/** Take records back out of the outbox, inside a running transaction; false when one of them may already have arrived. */
export async function takeBack(records, keys) {
  const found = await Promise.all(keys.map((key) => records.index("key").get(key)));
  if (found.some((record) => record === undefined || record.tried)) {
    return false;
  }
  await Promise.all(found.map((record) => records.delete(record.number)));
  return true;
}

export function countUnsent(database) {
  return database.countFromIndex("records", "state", "unsent");
}

/** When the first record held back may go, in milliseconds since 1970; null when none waits. */
export async function firstHeldUntil(database) {
  const first = await database.getFromIndex("records", "state", "unsent");
  return first ? first.heldUntil : null;
}

export function recordsOf(database, visitKey) {
  return database.getAllFromIndex("records", "visit", visitKey);
}

/** What the server put aside for a person to decide. */
export async function forAPerson(database) {
  const states = ["question", "refused", "waiting"];
  const rows = await Promise.all(states.map((state) => database.getAllFromIndex("records", "state", state)));
  return rows.flat().sort((one, other) => one.number - other.number);
}
