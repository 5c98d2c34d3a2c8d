/* The first screen: a visit that still runs, the yards on this phone, and what to do first when there are none. */

import * as addresses from "../addresses.js";
import { sayInstant } from "../days.js";
import { link, list, make, notice, stopRow } from "../dom.js";
import { doneOf } from "../walk.js";
import { recordsOf } from "../outbox.js";
import { packs } from "../packs.js";
import { remembered } from "../store.js";
import { say } from "../words.js";

export async function home(app) {
  const { database } = app;
  const packed = (await packs(database)).sort((one, other) => one.facts.yard.name.localeCompare(other.facts.yard.name));
  const running = (await database.getAll("visits")).filter((visit) => !visit.left);
  const who = await remembered(database, "who");
  const walks = await Promise.all(running.map((visit) => walkRow(database, visit)));
  return {
    title: say("field-book"),
    subheading: who ? say("signed-in-as", { name: who.name }) : "",
    top: [
      walks.length ? section(say("not-left-yet"), list(...walks)) : null,
      packed.length ? section(say("on-this-phone"), list(...packed.map((pack) => packRow(pack, app.now())))) : firstSteps(),
      make("p", { class: "quiet" }, make("a", { class: "field-link", href: addresses.forget() }, say("forget-this-phone"))),
    ],
    bar: [link(packed.length ? say("pack-yards") : say("pack-first-yard"), addresses.choose(), { primary: packed.length === 0 })],
  };
}

async function walkRow(database, visit) {
  const done = doneOf(await recordsOf(database, visit.key));
  const lines = [say("since", { hour: visit.arrived, day: visit.on }), say("looked-at", { count: done.size })];
  return stopRow(addresses.rows(visit.key), visit.name, lines.join(" · "), visit.stopped ? say("stopped-word") : "");
}

function packRow({ code, keptAt, facts }, now) {
  const lines = [say("colonies-packed", { count: facts.colonies.length, when: sayInstant(keptAt, now) })];
  return stopRow(addresses.start(code), facts.yard.name, ...lines, facts.yard.on_hold ? say("on-hold", { reason: facts.yard.on_hold }) : "");
}

function section(heading, content) {
  return make("section", { class: "field-section" }, make("h2", {}, heading), content);
}

function firstSteps() {
  return notice("mind", say("first"), say("first-steps"));
}
