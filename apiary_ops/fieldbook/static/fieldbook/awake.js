/* Keeps the screen on while colonies are looked at; a phone that cannot simply goes dark, with every tap kept. */

let lock = null;
let wanted = false;

export async function keepAwake(wish) {
  wanted = wish;
  if (!wish) {
    await lock?.release();
    lock = null;
  } else if (!lock || lock.released) {
    lock = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
  }
}

// The phone lets go by itself whenever the page is hidden.
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && wanted) {
    keepAwake(true);
  }
});
