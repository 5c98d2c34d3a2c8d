/* Packs: what the phone knows of a yard when it leaves, and who it met at the desk. */

import { dayAfter, daysOff, isoDay } from "./days.js";
import { askPack, askSession } from "./server.js";
import { remember, remembered, writing } from "./store.js";

/** Ask the desk who is signed in and which day it is; keeps the name and the day, never the token. */
export async function meet(database, now) {
  const session = await askSession();
  await remember(database, "who", session.user);
  await remember(database, "daysOff", daysOff(session.today, now));
  return session;
}

/** Today, by the desk's calendar as it was last heard. */
export async function today(database, now) {
  return dayAfter(now, await remembered(database, "daysOff", 0));
}

/** Fetch one yard and keep it, in place of what was known of it. */
export async function packYard(database, code, now) {
  const facts = await askPack(code);
  const transaction = writing(database, ["packs"]);
  await transaction.store.put({ code, keptAt: now.toISOString(), day: isoDay(now), facts });
  await transaction.done;
}

export async function unpackYard(database, code) {
  const transaction = writing(database, ["packs"]);
  await transaction.store.delete(code);
  await transaction.done;
}

export function packs(database) {
  return database.getAll("packs");
}

export async function packOf(database, code) {
  return (await database.get("packs", code))?.facts ?? null;
}

/** The days on which nobody may come, as {from, to, reason}, where one of them is `day`. */
export function noGoOn(pack, day) {
  return (pack.yard.no_go ?? []).find((span) => span.from <= day && day <= (span.to ?? span.from)) ?? null;
}
