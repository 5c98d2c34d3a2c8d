/* Keeps the shell of the field book for days without signal. It holds no answers of the desk: only files of the shell. */
"use strict";

const VERSION = "{{ version }}";
const SHELL = "{% url 'fieldbook:shell' %}";
const KEPT = {{ assets|safe }};
const CACHE = `fieldbook-${VERSION}`;

self.addEventListener("install", (event) => {
  // No skipWaiting: a newer shell takes over once the last page of the older one is closed.
  // Asked for anew, past every other cache, and without cookies: the same bytes for everyone.
  const asked = KEPT.map((address) => new Request(address, { cache: "reload", credentials: "omit" }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(asked)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOldShells().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== self.location.origin) {
    return;
  }
  const kept = event.request.mode === "navigate" ? address.pathname === SHELL : KEPT.includes(address.pathname);
  if (kept) {
    event.respondWith(fromTheShell(address.pathname, event.request));
  }
});

async function fromTheShell(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path, { ignoreVary: true })) ?? fetch(request);
}

async function dropOldShells() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith("fieldbook-") && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
}
