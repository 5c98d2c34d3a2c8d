/* Choose the yards to pack while there is signal: each tap fetches one yard and keeps it. */

import * as addresses from "../addresses.js";
import { sayDay, sayInstant } from "../days.js";
import { link, make, notice } from "../dom.js";
import { complain } from "../frame.js";
import { meet, packYard, packs } from "../packs.js";
import { shellIsKept } from "../renewal.js";
import { NoSignal, NotAllowed, SignedOut, askYards, signInAddress } from "../server.js";
import { say } from "../words.js";

export async function choose(app) {
  const kept = new Map((await packs(app.database)).map((pack) => [pack.code, pack]));
  const base = {
    title: say("pack-yards"),
    back: { href: addresses.home(), label: say("field-book") },
    bar: [link(say("done"), addresses.home(), { primary: kept.size > 0 })],
  };
  try {
    await meet(app.database, app.now());
    const yards = await askYards();
    return {
      ...base,
      subheading: say("pack-help"),
      top: [make("ul", { class: "stops" }, ...yards.map((yard) => yardRow(app, yard, kept.get(yard.code))))],
    };
  } catch (trouble) {
    return { ...base, top: [whyNot(trouble)] };
  }
}

function yardRow(app, yard, pack) {
  const known = yard.looked_on ? say("last-look-on", { day: sayDay(yard.looked_on) }) : say("no-look-yet");
  const lines = [
    pack ? say("packed-at", { when: sayInstant(pack.keptAt, app.now()) }) : "",
    `${say("colonies", { count: yard.colonies })} · ${known}`,
    yard.on_hold ? say("on-hold", { reason: yard.on_hold }) : "",
  ];
  const said = lines.filter(Boolean).map((line) => make("span", {}, line));
  const attributes = { type: "button", class: "stop stop-button", "data-tap": yard.code, onclick: () => fetchYard(app, yard.code) };
  const name = make("span", { class: "stop-name" }, pack ? `✓ ${yard.name}` : yard.name);
  return make("li", {}, make("button", attributes, name, ...said));
}

function fetchYard(app, code) {
  return app.act(async () => {
    try {
      await packYard(app.database, code, app.now());
      // Without this a phone short of room may drop what no page has used for a while.
      await navigator.storage?.persist?.();
      complain((await shellIsKept()) ? "" : say("shell-not-kept"));
    } catch (trouble) {
      complain(reason(trouble));
    }
  });
}

function whyNot(trouble) {
  const signIn = trouble instanceof SignedOut ? make("p", {}, link(say("sign-in"), signInAddress(), { primary: true })) : null;
  return notice("mind", say("cannot-pack"), reason(trouble), signIn);
}

function reason(trouble) {
  if (trouble instanceof NoSignal) {
    return say("pack-needs-signal");
  }
  if (trouble instanceof SignedOut) {
    return say("pack-needs-sign-in");
  }
  if (trouble instanceof NotAllowed) {
    return say("not-allowed");
  }
  return say("desk-trouble");
}
