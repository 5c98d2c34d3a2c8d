/* Wipes the phone, for one that is lent or given back; asks twice while something still waits to be sent. */

import * as addresses from "../addresses.js";
import { button, link, notice } from "../dom.js";
import { countUnsent } from "../outbox.js";
import { forgetAll, remember, remembered } from "../store.js";
import { say } from "../words.js";

const ASKED_MS = 60_000; // the first "yes" of the two does not stand for ever

export async function forget(app) {
  const count = await countUnsent(app.database);
  const asked = app.now().getTime() - (await remembered(app.database, "forgetAsked", 0)) < ASKED_MS;
  const sure = count === 0 || asked;
  return {
    title: say("forget-title"),
    back: { href: addresses.home(), label: say("field-book") },
    subheading: [say("forget-help")],
    top: [count ? notice("broken", say("to-send", { count }), asked ? say("forget-lost-again", { count }) : say("forget-lost", { count })) : null],
    bar: [
      link(say("keep-it"), addresses.home(), { primary: true }),
      button("forget", sure ? say("forget-now") : say("forget"), () => (sure ? wipe(app) : ask(app)), { final: true }),
    ],
  };
}

function ask(app) {
  return app.act(() => remember(app.database, "forgetAsked", app.now().getTime()));
}

async function wipe(app) {
  await forgetAll(app.database);
  location.replace(document.body.dataset.shell);
}
