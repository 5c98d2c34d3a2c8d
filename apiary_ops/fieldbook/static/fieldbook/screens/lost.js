/* A dead colony: the cause in one tap, which saves. */

import * as addresses from "../addresses.js";
import { link, question, tap } from "../dom.js";
import { draftOf, saveLoss } from "../visits.js";
import { colonyOf } from "../walk.js";
import { say } from "../words.js";
import { onwards, openVisit, placeWords } from "./visit.js";

export async function lost(app, { visit: key, tag }) {
  const walk = await openVisit(app, key);
  const colony = walk && colonyOf(walk.pack, tag);
  if (!colony) {
    return { elsewhere: walk ? addresses.rows(key) : addresses.home() };
  }
  const back = addresses.look(key, tag);
  const causes = walk.pack.loss_causes.map(([cause, label]) =>
    tap(`cause-${cause}`, label, { onclick: () => app.act(() => save(app, walk, tag, cause)) }),
  );
  return {
    title: say("dead-title", { name: `${colony.position} · ${tag}` }),
    back: { href: back, label: say("back") },
    place: placeWords(walk),
    subheading: [say("dead-help")],
    pad: [question(say("died-of"), causes, { grid: "taps-three" })],
    bar: [link(say("not-dead"), back)],
    awake: true,
  };
}

async function save(app, walk, tag, cause) {
  const draft = await draftOf(app.database, walk.visit, tag);
  await saveLoss(app.database, walk.visit, draft, cause, { device: app.device, now: app.now() });
  app.sender.nudge();
  app.go(onwards(walk, tag));
}
