/* Sends what waits, in order, whenever there is signal and someone is signed in; gives up nothing. */

import { countUnsent, firstHeldUntil, nextBatch, noteOutcomes, onTheWire } from "./outbox.js";
import { meet } from "./packs.js";
import { NoSignal, NotAllowed, SignedOut, Unanswered, sendRecords } from "./server.js";

const EVERY_MS = 30_000;
const LONGEST_MS = 5 * 60_000;
// What a server says when a batch, and not the moment, is at fault.
const FAULT_OF_THE_BATCH = [400, 413, 422];

/** `onChange(state)` hears "sent", "sending", "no signal", "signed out", "not allowed" or "trouble". */
export function makeSender(database, onChange) {
  const sender = { state: "sent", misses: 0, timer: null };

  function tell(state) {
    sender.state = state;
    onChange(state);
  }

  function again(milliseconds) {
    clearTimeout(sender.timer);
    sender.timer = setTimeout(attempt, milliseconds);
  }

  async function attempt() {
    if (navigator.locks) {
      // Another tab of the same phone may be sending already; one is enough.
      await navigator.locks.request("fieldbook-sending", { ifAvailable: true }, (lock) => lock && send());
    } else {
      await send();
    }
    if (sender.state !== "sent" || (await countUnsent(database)) > 0) {
      const held = await firstHeldUntil(database);
      const wait = Math.min(EVERY_MS * 2 ** sender.misses, LONGEST_MS);
      again(held && !sender.misses ? Math.min(Math.max(held - Date.now(), 250), wait) : wait);
    }
  }

  async function send() {
    if (!(await hasDue(database))) {
      return;
    }
    try {
      const { csrf } = await meet(database, new Date());
      tell("sending");
      await sendAll(database, csrf, () => onChange(sender.state));
      sender.misses = 0;
      tell("sent");
    } catch (trouble) {
      sender.misses += 1;
      tell(whatHappened(trouble));
    }
  }

  /** Try now: there is signal again, someone looks at the phone, or something new was saved. */
  function nudge({ afresh = false } = {}) {
    if (afresh) {
      sender.misses = 0;
    }
    if (sender.misses === 0) {
      again(0);
    }
  }

  return { nudge, state: () => sender.state };
}

async function hasDue(database) {
  const held = await firstHeldUntil(database);
  return held !== null && held <= Date.now();
}

async function sendAll(database, csrf, onBatch) {
  let most;
  for (;;) {
    const batch = await nextBatch(database, new Date(), most);
    if (batch.length === 0) {
      return;
    }
    try {
      await noteOutcomes(database, await sendRecords(batch.map(onTheWire), csrf));
      most = undefined;
      onBatch();
    } catch (trouble) {
      if (!(trouble instanceof Unanswered) || !FAULT_OF_THE_BATCH.includes(trouble.status)) {
        throw trouble;
      }
      // One bad record must not keep the others back: find it by sending singly, and keep it here, said so.
      if (batch.length === 1) {
        await noteOutcomes(database, [{ key: batch[0].key, state: "kept", words: trouble.message }]);
      }
      most = 1;
    }
  }
}

function whatHappened(trouble) {
  if (trouble instanceof NoSignal) {
    return "no signal";
  }
  if (trouble instanceof SignedOut) {
    return "signed out";
  }
  return trouble instanceof NotAllowed ? "not allowed" : "trouble";
}
