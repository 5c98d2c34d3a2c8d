/* What waits to be sent, why it waits, and what the desk put aside for a person. */

import * as addresses from "../addresses.js";
import { sayInstant } from "../days.js";
import { button, link, make, notice } from "../dom.js";
import { countUnsent, forAPerson } from "../outbox.js";
import { signInAddress } from "../server.js";
import { say } from "../words.js";

export async function waiting(app) {
  const count = await countUnsent(app.database);
  const aside = [...(await forAPerson(app.database)), ...(await app.database.getAllFromIndex("records", "state", "kept"))];
  const visits = new Map((await app.database.getAll("visits")).map((visit) => [visit.key, visit]));
  return {
    title: say("waiting-title"),
    back: { href: addresses.home(), label: say("field-book") },
    subheading: [count ? say("to-send", { count }) : say("nothing-to-send")],
    top: [inTheWay(app.sender.state(), count), asideList(aside, visits, app.now())],
    bar: [link(say("back"), addresses.home()), button("send", say("send-now"), () => sendNow(app), { primary: true, disabled: count === 0 })],
  };
}

function sendNow(app) {
  return app.act(() => app.sender.nudge({ afresh: true }));
}

function inTheWay(state, count) {
  if (!count) {
    return null;
  }
  if (state === "signed out") {
    return notice("mind", say("signed-out"), say("signed-out-help"), make("p", {}, link(say("sign-in"), signInAddress(), { primary: true })));
  }
  const words = { "no signal": "no-signal-help", "not allowed": "not-allowed", trouble: "desk-trouble" }[state];
  return words ? notice("mind", say("waits-word"), say(words)) : null;
}

function asideList(aside, visits, now) {
  if (!aside.length) {
    return null;
  }
  const rows = aside.map((record) => {
    const tag = record.payload.tag ? ` · ${record.payload.tag}` : "";
    const head = `${visits.get(record.visit)?.name ?? ""}${tag}, ${sayInstant(record.observed_at, now)}`;
    return make("li", {}, make("strong", {}, head), ` ${[say(`fate-${record.state}`), record.words].filter(Boolean).join(": ")}`);
  });
  return make("section", { class: "field-section" }, make("h2", {}, say("for-a-person")), make("ul", { class: "field-said" }, ...rows));
}
