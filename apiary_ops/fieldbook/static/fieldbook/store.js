/* What the phone keeps, all of it in IndexedDB: the packs it left with, the visits, what waits to be sent, what was begun. */

import { deleteDB, openDB } from "./idb.js";

const NAME = "fieldbook";
const VERSION = 1;

/**
 * Open the store. `onBlocked` is told when an older page elsewhere keeps it from opening, `onBlocking` when this
 * page keeps a newer one waiting: it then lets go, as every tap is already written.
 */
export function openStore({ onBlocked, onBlocking }) {
  return openDB(NAME, VERSION, {
    upgrade(database, oldVersion) {
      if (oldVersion < 1) {
        layFirst(database);
      }
    },
    blocked: onBlocked,
    blocking(_current, _waiting, event) {
      event.target.close();
      onBlocking();
    },
    terminated: onBlocking,
  });
}

function layFirst(database) {
  database.createObjectStore("packs", { keyPath: "code" });
  database.createObjectStore("visits", { keyPath: "key" });
  database.createObjectStore("drafts", { keyPath: "place" });
  database.createObjectStore("state", { keyPath: "name" });
  // The outbox. Numbers only ever rise, so it is sent in the order things were seen.
  const records = database.createObjectStore("records", { keyPath: "number", autoIncrement: true });
  records.createIndex("key", "key", { unique: true });
  records.createIndex("state", "state");
  records.createIndex("visit", "visit");
}

/** A transaction that is on the disk before it answers: a phone may be switched off by the rain. */
export function writing(database, stores) {
  return database.transaction(stores, "readwrite", { durability: "strict" });
}

export async function remembered(database, name, otherwise = null) {
  const row = await database.get("state", name);
  return row === undefined ? otherwise : row.value;
}

export async function remember(database, name, value) {
  const transaction = writing(database, ["state"]);
  await transaction.store.put({ name, value });
  await transaction.done;
}

/** This phone's own mark, made once, so that the server can tell two phones apart. */
export async function deviceKey(database) {
  const transaction = writing(database, ["state"]);
  let row = await transaction.store.get("device");
  if (row === undefined) {
    row = { name: "device", value: crypto.randomUUID() };
    await transaction.store.put(row);
  }
  await transaction.done;
  return row.value;
}

/** Wipe everything. The next start finds an empty phone. */
export async function forgetAll(database) {
  database.close();
  await deleteDB(NAME);
}
