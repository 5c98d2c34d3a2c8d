/* Starts the field book: opens the phone's store, draws the screen of the address, sends what waits, keeps up to date. */

import * as addresses from "./addresses.js";
import { keepAwake } from "./awake.js";
import { complain, show, showWaiting } from "./frame.js";
import { countUnsent } from "./outbox.js";
import { meet } from "./packs.js";
import { renewShell } from "./renewal.js";
import { screens } from "./screens/index.js";
import { makeSender } from "./sending.js";
import { deviceKey, openStore, remember } from "./store.js";
import { tidy } from "./tidy.js";
import { readWords, say } from "./words.js";

readWords(document.getElementById("words"));
begin().catch((trouble) => {
  console.error(trouble);
  complain(say("cannot-start"));
});

async function begin() {
  renewShell();
  const database = await openStore({
    onBlocked: () => complain(say("close-other-pages")),
    onBlocking: () => complain(say("open-again")),
  });
  await tidy(database, new Date());
  const app = { database, device: await deviceKey(database), now: () => new Date(), shown: null, drawings: 0 };
  app.sender = makeSender(database, () => countAgain(app));
  app.go = (address) => {
    location.hash = address;
  };
  // Deeds follow one another, so that the second of two quick taps sees what the first has written.
  let deeds = Promise.resolve();
  app.write = (deed) => {
    deeds = deeds.then(deed).catch(told);
    return deeds;
  };
  app.act = (deed) => app.write(deed).then(() => draw(app)).catch(told);
  listen(app);
  await resume(app);
  await draw(app);
  app.sender.nudge({ afresh: true });
  // Whose phone this is today; without signal it stays whose it was.
  await meet(database, app.now()).catch(() => null);
  await draw(app);
}

function listen(app) {
  addEventListener("hashchange", () => draw(app).catch(told));
  addEventListener("online", () => app.sender.nudge({ afresh: true }));
  addEventListener("focus", () => app.sender.nudge({ afresh: true }));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && app.sender.nudge({ afresh: true }));
}

/** A start without an address goes back to where the phone was when it fell asleep, if that visit still runs. */
async function resume(app) {
  if (location.hash) {
    return;
  }
  const place = (await app.database.get("state", "place"))?.value ?? "";
  const { visit } = addresses.read(place);
  const running = visit ? await app.database.get("visits", visit) : null;
  if (running && !running.left) {
    history.replaceState(null, "", place);
  }
}

/** Draw the screen of the address, unless a later drawing has begun meanwhile. */
async function draw(app) {
  const turn = (app.drawings += 1);
  const address = location.hash;
  const place = addresses.read(address);
  const drawing = await (screens[place.screen] ?? screens.home)(app, place);
  if (turn !== app.drawings || location.hash !== address) {
    return;
  }
  if (drawing.elsewhere) {
    history.replaceState(null, "", drawing.elsewhere);
    await draw(app);
    return;
  }
  const isNew = app.shown !== address;
  app.shown = address;
  show(drawing, { isNew });
  keepAwake(Boolean(drawing.awake));
  if (isNew) {
    complain(""); // it was about the screen before
    await remember(app.database, "place", address);
  }
  await countAgain(app);
}

async function countAgain(app) {
  showWaiting(await countUnsent(app.database), app.sender.state());
}

function told(trouble) {
  console.error(trouble);
  complain(say("not-done"));
}
