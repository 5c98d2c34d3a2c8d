/* The frame every screen is drawn in: where one is, what is known, the taps in the lower half and the bar at the thumb. */

import { say } from "./words.js";

const part = (id) => document.getElementById(id);

/**
 * Show a drawing: {title, back: {href, label}, place, heading, subheading, top, pad, bar}. On a new screen the
 * heading is read out and the page stands at its head; on the same one, focus stays on what was tapped.
 */
export function show(drawing, { isNew }) {
  const tapped = document.activeElement?.dataset?.tap;
  document.title = `${drawing.title} · ${say("field-book")}`;
  showBack(drawing.back);
  part("place").textContent = drawing.place ?? "";
  part("heading").textContent = drawing.heading ?? drawing.title;
  part("subheading").replaceChildren(...[drawing.subheading ?? ""].flat().filter(Boolean));
  part("top").replaceChildren(...(drawing.top ?? []).filter(Boolean));
  showHand("pad", drawing.pad);
  showHand("bar", drawing.bar);
  document.body.classList.toggle("field-counting", Boolean(drawing.fills));
  if (isNew) {
    scrollTo(0, 0);
    part("heading").focus({ preventScroll: true });
  } else if (tapped) {
    document.querySelector(`[data-tap="${CSS.escape(tapped)}"]`)?.focus({ preventScroll: true });
  }
}

function showBack(back) {
  part("back").hidden = !back;
  if (back) {
    part("back").href = back.href;
    part("back").textContent = back.label;
  }
}

function showHand(id, nodes) {
  const kept = (nodes ?? []).filter(Boolean);
  part(id).replaceChildren(...kept);
  part(id).parentElement.hidden = kept.length === 0;
}

/** The plain count of what waits, with a word when something is in the way. */
export function showWaiting(count, state) {
  const inTheWay = { "signed out": say("signed-out"), "not allowed": say("not-allowed-short"), "no signal": say("no-signal") }[state];
  const words = count ? say("to-send", { count }) : say("nothing-to-send");
  part("waiting").textContent = count && inTheWay ? `${words} · ${inTheWay}` : words;
}

/** One line over the taps for what could not be done, read out at once; empty takes it away. */
export function complain(words) {
  part("complaint").textContent = words;
  part("complaint").hidden = !words;
}
