/* What every screen of a visit needs: the visit, the pack it walks by, and what is done so far. */

import * as addresses from "../addresses.js";
import { complain } from "../frame.js";
import { doneOf, nextAfter, tasksDone } from "../walk.js";
import { recordsOf } from "../outbox.js";
import { packOf } from "../packs.js";
import { sayTemperature } from "../units.js";
import { undoSaved } from "../visits.js";
import { say } from "../words.js";

/** Everything of a visit at once; null when this phone does not know it, or its yard is not packed any more. */
export async function openVisit(app, key) {
  const visit = await app.database.get("visits", key);
  const pack = visit && (await packOf(app.database, visit.yard));
  if (!visit || !pack) {
    return null;
  }
  const records = await recordsOf(app.database, key);
  return { visit, pack, records, done: doneOf(records), tasksDone: tasksDone(records) };
}

export function placeWords({ visit, pack }) {
  const warmth = visit.temperature_c === null ? "" : sayTemperature(Number(visit.temperature_c), pack.units.temperature);
  return [visit.name, warmth].filter(Boolean).join(", ");
}

/** Where the walk goes on after `tag`: the next colony with nothing saved, else the list of the yard. */
export function onwards({ visit, pack, done }, tag) {
  const next = nextAfter(pack, tag, done);
  return next ? addresses.look(visit.key, next.tag) : addresses.rows(visit.key);
}

export function backToRows(visit) {
  return { href: addresses.rows(visit.key), label: say("the-yard") };
}

/** Undo what was saved last and go back to its colony; says so when it may already be at the desk. */
export async function takeBackSaved(app, visit, tooLate = say("already-sent")) {
  const { taken, draft } = await undoSaved(app.database, visit);
  complain(taken ? "" : tooLate);
  if (taken && draft?.tag) {
    app.go(addresses.look(visit.key, draft.tag));
  }
}
