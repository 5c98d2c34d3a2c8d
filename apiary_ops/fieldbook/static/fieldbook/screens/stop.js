/* Disease is suspected: close it, touch nothing more, call. From here the only way on is to leave. */

import * as addresses from "../addresses.js";
import { sayDay } from "../days.js";
import { button, link, make, notice } from "../dom.js";
import { frameMoves } from "../walk.js";
import { say } from "../words.js";
import { openVisit, placeWords, takeBackSaved } from "./visit.js";

export async function stop(app, { visit: key }) {
  const walk = await openVisit(app, key);
  const tag = walk?.visit.stopped;
  if (!tag) {
    return { elsewhere: walk ? addresses.rows(key) : addresses.home() };
  }
  const { visit, pack } = walk;
  return {
    title: say("stop-title", { tag }),
    place: placeWords(walk),
    top: [
      notice("broken", say("stop-word"), say("stop-close")),
      make("ol", { class: "field-orders" }, ...["stop-tools", "stop-hold", "stop-call"].map((name) => make("li", {}, say(name)))),
      movesList(pack, tag),
    ],
    pad: [inspector(pack.yard)],
    bar: [
      button("undo", say("undo"), () => app.act(() => takeBackSaved(app, visit, say("stop-already-sent"))), { disabled: visit.undoable === null }),
      visit.left ? link(say("field-book"), addresses.home(), { primary: true }) : link(say("leave-the-yard"), addresses.leave(key), { primary: true }),
    ],
  };
}

function movesList(pack, tag) {
  const moves = frameMoves(pack, tag);
  const rows = moves.map((move) => make("li", {}, say("frames-moved", { day: sayDay(move.on), from: move.from, to: move.to, words: move.words })));
  const content = rows.length ? make("ul", { class: "field-said" }, ...rows) : make("p", {}, say("no-frames-moved"));
  return make("section", { class: "field-section" }, make("h2", {}, say("frame-moves")), content);
}

function inspector({ inspector: name, inspector_phone: phone }) {
  if (!phone) {
    return notice("mind", say("inspector"), name ? say("inspector-no-phone", { name }) : say("no-inspector"));
  }
  const number = phone.replace(/[^+\d]/g, "");
  return make("a", { class: "button button-final field-call", href: `tel:${number}` }, say("call-inspector", { name, phone }));
}
