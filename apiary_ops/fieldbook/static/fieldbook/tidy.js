/* Old visits leave the phone once the desk has everything of them; whatever still waits stays, however old. What the
   desk could not read is tried once more at every start: it may have been renewed since. */

import { writing } from "./store.js";

const KEPT_DAYS = 14;
const AT_THE_DESK = ["landed", "dropped"];

export async function tidy(database, now) {
  const before = new Date(now.getTime() - KEPT_DAYS * 86_400_000).toISOString();
  const transaction = writing(database, ["visits", "records", "drafts"]);
  const [visits, records, drafts] = ["visits", "records", "drafts"].map((name) => transaction.objectStore(name));
  for (const record of await records.index("state").getAll("kept")) {
    await records.put({ ...record, state: "unsent" });
  }
  for (const visit of await visits.getAll()) {
    const made = await records.index("visit").getAll(visit.key);
    if (visit.startedAt < before && made.every((record) => AT_THE_DESK.includes(record.state))) {
      await Promise.all(made.map((record) => records.delete(record.number)));
      await drafts.delete(IDBKeyRange.bound(`${visit.key}/`, `${visit.key}/\uffff`));
      await visits.delete(visit.key);
    }
  }
  await transaction.done;
}
