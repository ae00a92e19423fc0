// The offline shell: the page opens without a connection, from what was kept. Kept files come
// first, so that a roof with one bar of signal opens as fast as one with none; a new version is
// fetched behind and counts from the next opening. Answers of the service never come from here.

const SHELF = "lapwright-field-1";

const isOurs = (request) =>
  request.method === "GET" && new URL(request.url).origin === location.origin && !new URL(request.url).pathname.includes("/api/");

// All files of one version, or none: a page of two versions is worse than an old one.
async function fill() {
  const shelf = await caches.open(SHELF);
  const shell = await (await fetch("shell.json", { cache: "no-cache" })).json(); // by scripts/tables
  await shelf.addAll(shell.map((path) => new Request(path, { cache: "no-cache" })));
}

async function keptOrFresh(request) {
  const shelf = await caches.open(SHELF);
  return (await shelf.match(request, { ignoreSearch: true })) ?? fetch(request);
}

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(fill());
});

addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { request } = event;
  if (!isOurs(request)) return;
  event.respondWith(keptOrFresh(request));
  if (request.mode === "navigate") event.waitUntil(fill().catch(() => {}));
});
