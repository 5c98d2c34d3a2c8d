/* The walk through a yard: which colony comes next, and what is done at each. Pure, from the pack and the records. */

export function colonyOf(pack, tag) {
  return pack.colonies.find((colony) => colony.tag === tag) ?? null;
}

export function placeOf(pack, tag) {
  return pack.colonies.findIndex((colony) => colony.tag === tag);
}

/** The next colony in walking order that has nothing saved yet; null at the end of the walk. */
export function nextAfter(pack, tag, done) {
  return pack.colonies.slice(placeOf(pack, tag) + 1).find((colony) => !done.has(colony.tag)) ?? null;
}

/** What the records of a visit say of each colony: tag → the last look or loss of it. */
export function doneOf(records) {
  const done = new Map();
  for (const record of records) {
    if (record.kind === "look" || record.kind === "lost") {
      done.set(record.payload.tag, record);
    }
  }
  return done;
}

export function tasksDone(records) {
  return new Set(records.filter((record) => record.kind === "task_done").map((record) => record.payload.task));
}

/** Moves of frames as one list, newest first, each once although two colonies tell of it. */
export function frameMoves(pack, tag) {
  const rows = (colonyOf(pack, tag)?.frame_moves ?? []).map((move) => [`${move.on} ${move.from} ${move.to} ${move.words}`, move]);
  return [...new Map(rows).values()].sort((one, other) => (one.on < other.on ? 1 : -1));
}
