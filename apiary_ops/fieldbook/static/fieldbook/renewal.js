/* Keeps the shell on the phone and renews it. A newer shell waits until every page of the older one is closed and serves
   from the next start on: never in the middle of a visit, and never by making a page come again under a thumb. */

const LONGEST_INSTALL_MS = 20_000;

/** Register the worker, or ask whether there is a newer one; without signal the next start asks again. */
export function renewShell() {
  return register().catch(() => null);
}

/** Whether this phone keeps the book itself, tried anew where the first time went wrong: a pack is no use without it. */
export async function shellIsKept() {
  const registration = await register().catch(() => null);
  if (!registration) {
    return false;
  }
  const ready = navigator.serviceWorker.ready.then(() => true);
  return Promise.race([ready, new Promise((resolve) => setTimeout(resolve, LONGEST_INSTALL_MS, false))]);
}

async function register() {
  const { shell, worker } = document.body.dataset;
  return navigator.serviceWorker.register(worker, { scope: shell });
}
