// Keeps the shell of the field book for where there is no signal. The version changes with any byte of the shell.
const VERSION = "{{ version|escapejs }}";
const ASSETS = {{ assets|safe }};

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(VERSION).then((cache) => cache.addAll(ASSETS)));
});
