/* Keeps the shell on the phone and renews it: a newer one takes over at a start, never in the middle of a visit. */

const LONGEST_MS = 3_000;
const LONGEST_INSTALL_MS = 20_000;

/** Whether this phone keeps the book itself, tried anew where the first time went wrong: a pack is no use without it. */
export async function shellIsKept() {
  const { shell, worker } = document.body.dataset;
  const workers = navigator.serviceWorker;
  const registration = await workers?.register(worker, { scope: shell }).catch(() => null);
  if (!registration) {
    return false;
  }
  const ready = workers.ready.then(() => true);
  return Promise.race([ready, new Promise((resolve) => setTimeout(resolve, LONGEST_INSTALL_MS, false))]);
}

/** Register the worker. True when a newer shell takes over at once and the page is about to come again. */
export async function registerWorker() {
  if (!("serviceWorker" in navigator)) {
    return false;
  }
  const { shell, worker } = document.body.dataset;
  const workers = navigator.serviceWorker;
  const registration = await workers.getRegistration(shell);
  if (!registration) {
    // The first time ever: without it there is no shell offline, but the book itself works.
    await workers.register(worker, { scope: shell }).catch(() => null);
    return false;
  }
  if (registration.waiting) {
    const tookOver = new Promise((resolve) => {
      workers.addEventListener("controllerchange", () => resolve(true), { once: true });
      // A worker that is slow or died must not keep the book shut: this start stays with the older shell.
      setTimeout(resolve, LONGEST_MS, false);
    });
    registration.waiting.postMessage("take over");
    if (await tookOver) {
      location.reload();
      return true;
    }
    return false;
  }
  registration.update().catch(() => null); // no signal: the next start asks again
  return false;
}
