/* The header of a visit, once: who is here, how warm it is, how frames are counted. Three small pads, then "start". */

import * as addresses from "../addresses.js";
import { button, link, make, notice, question, tap } from "../dom.js";
import { noGoOn, packOf, today } from "../packs.js";
import { remembered, writing } from "../store.js";
import { sayDistance, sayTemperature, stepDistance, stepTemperature } from "../units.js";
import { headerPlace, startVisit } from "../visits.js";
import { sayDay } from "../days.js";
import { say } from "../words.js";

const PADS = ["crew", "weather", "counting"];
const SKIES = ["sun", "cloud", "rain", "wind"];
const VIEWS = ["below", "above", "both"];
const DEPTHS = ["each", "sample", "tally"];
const FIRST_GUESS_C = 10; // where the stepper begins when nothing was noted yet

export async function start(app, { yard: code }) {
  const pack = await packOf(app.database, code);
  if (!pack) {
    return { elsewhere: addresses.home() };
  }
  const day = await today(app.database, app.now());
  const draft = (await app.database.get("drafts", headerPlace(code))) ?? (await freshHeader(app, pack, code));
  const stopped = (await app.database.getAll("visits")).find((visit) => visit.yard === code && visit.stopped);
  const screen = { app, pack, draft, day, keep: (change) => app.act(() => keepHeader(app, draft, change)) };
  return {
    title: pack.yard.name,
    back: { href: addresses.home(), label: say("field-book") },
    subheading: sayDay(day),
    top: [...warnings(pack, day, stopped), yardFacts(pack.yard), headerSoFar(screen)],
    pad: { crew: crewPad, weather: weatherPad, counting: countingPad }[draft.pad](screen),
    bar: headerBar(screen),
    awake: true,
  };
}

async function freshHeader(app, pack, code) {
  const who = await remembered(app.database, "who");
  const last = await remembered(app.database, "lastHeader", { crew: who ? [who.id] : [], view: "below", depth: "each" });
  const crew = last.crew.filter((id) => pack.crew.some((person) => person.id === id));
  return { place: headerPlace(code), pad: PADS[0], temperature: null, sky: "", km: pack.yard.round_trip_km ?? null, ...last, crew };
}

/** `change` works on the header as it is kept, not as it was drawn: two quick taps on "+1" are two degrees. */
async function keepHeader(app, drawn, change) {
  const transaction = writing(app.database, ["drafts"]);
  const header = (await transaction.store.get(drawn.place)) ?? drawn;
  await transaction.store.put({ ...header, ...change(header) });
  await transaction.done;
}

function warnings(pack, day, stopped) {
  const closed = noGoOn(pack, day);
  const held = pack.yard.on_hold || (stopped ? say("suspected-at", { tag: stopped.stopped }) : "");
  return [
    held ? notice("broken", say("hold-word"), held, say("hold-advice")) : null,
    closed ? notice("mind", say("no-go-word"), closed.reason) : null,
  ];
}

function yardFacts(yard) {
  const facts = [
    [say("gate-code"), yard.gate_code],
    [say("access"), yard.access_notes],
    [say("hazards"), yard.hazards],
  ].filter(([, value]) => value);
  const rows = facts.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]);
  return rows.length ? make("dl", { class: "field-facts" }, ...rows) : null;
}

function headerSoFar({ pack, draft }) {
  const names = pack.crew.filter((person) => draft.crew.includes(person.id)).map((person) => person.name);
  const warmth = draft.temperature === null ? say("warmth-unknown") : sayTemperature(draft.temperature, pack.units.temperature);
  const lines = [
    names.join(", ") || say("nobody-chosen"),
    [warmth, draft.sky ? say(`sky-${draft.sky}`) : ""].filter(Boolean).join(", "),
    [say(`view-${draft.view}`), say(`depth-${draft.depth}`)].join(", "),
  ];
  return make("ul", { class: "field-said" }, ...lines.map((line) => make("li", {}, line)));
}

function crewPad({ pack, draft, keep }) {
  const cells = pack.crew.map(({ id, name }) => {
    const here = draft.crew.includes(id);
    const turn = ({ crew }) => ({ crew: crew.includes(id) ? crew.filter((other) => other !== id) : [...crew, id] });
    return tap(`crew-${id}`, name, { pressed: here, onclick: () => keep(turn) });
  });
  return [question(say("who-is-here"), cells, { grid: "taps-two" })];
}

function weatherPad({ pack, draft, keep }) {
  const unit = pack.units.temperature;
  const stepped = (by) => () =>
    keep(({ temperature }) => ({ temperature: temperature === null ? FIRST_GUESS_C : stepTemperature(temperature, unit, by) }));
  const cells = [-5, -1, 1, 5].map((by) => tap(`warmth${by}`, signed(by), { onclick: stepped(by) }));
  const shown = draft.temperature === null ? say("not-measured") : sayTemperature(draft.temperature, unit);
  cells.splice(2, 0, make("output", { class: "tap-value" }, shown));
  const skies = SKIES.map((sky) =>
    tap(`sky-${sky}`, say(`sky-${sky}`), { pressed: draft.sky === sky, onclick: () => keep((header) => ({ sky: header.sky === sky ? "" : sky })) }),
  );
  const none = tap("warmth-none", say("not-measured"), { kind: "tap-none", pressed: draft.temperature === null, onclick: () => keep(() => ({ temperature: null })) });
  return [question(say("temperature"), cells, { grid: "taps-stepper" }), question(say("sky"), skies, { grid: "taps-four" }), make("div", { class: "taps" }, none)];
}

function countingPad({ pack, draft, keep }) {
  const choices = (name, values) =>
    values.map((value) => tap(`${name}-${value}`, say(`${name}-${value}`), { pressed: draft[name] === value, onclick: () => keep(() => ({ [name]: value })) }));
  const unit = pack.units.distance;
  const driven = [-5, -1, 1, 5].map((by) => tap(`km${by}`, signed(by), { onclick: () => keep(({ km }) => ({ km: stepDistance(km ?? 0, unit, by) })) }));
  driven.splice(2, 0, make("output", { class: "tap-value" }, sayDistance(draft.km ?? 0, unit)));
  return [
    question(say("counted-from"), choices("view", VIEWS), { grid: "taps-three" }),
    question(say("looked-at-how"), choices("depth", DEPTHS), { grid: "taps-three" }),
    question(say("driven"), driven, { grid: "taps-stepper" }),
  ];
}

function headerBar(screen) {
  const { draft, keep } = screen;
  const at = PADS.indexOf(draft.pad);
  const back = at ? button("back", say("back"), () => keep(() => ({ pad: PADS[at - 1] }))) : link(say("back"), addresses.home());
  const onwards = () => keep(() => ({ pad: PADS[at + 1] }));
  return [
    back,
    at < PADS.length - 1
      ? button("next", say("next"), onwards, { primary: true })
      : button("start", say("start"), () => begin(screen), { primary: true }),
  ];
}

function begin({ app, pack, draft, day }) {
  return app.act(async () => {
    const who = await remembered(app.database, "who");
    const { crew, sky, view, depth, km } = draft;
    const temperature_c = draft.temperature === null ? null : draft.temperature.toFixed(1);
    const header = { yard: pack.yard.code, name: pack.yard.name, on: day, crew, temperature_c, sky, view, depth, km };
    const visit = await startVisit(app.database, header, { who, device: app.device, now: app.now() });
    app.sender.nudge();
    app.go(depth === "tally" ? addresses.tally(visit.key) : firstColony(pack, visit));
  });
}

function firstColony(pack, visit) {
  return pack.colonies.length ? addresses.look(visit.key, pack.colonies[0].tag) : addresses.rows(visit.key);
}

function signed(number) {
  return number < 0 ? `−${-number}` : `+${number}`;
}
