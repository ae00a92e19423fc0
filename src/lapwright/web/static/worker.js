// The offline shell: the page itself opens without a connection. Answers never come from
// here: an old answer is shown by the page, with its time.

const SHELF = "lapwright-shell";
const PATIENCE = 3000; // ms before the kept page is taken
const SHELL = [
  "./", "index.html", "answer.css", "answer.js", "blade.css", "chart.css", "chart.js", "dom.js", "entry.js", "fields.js",
  "icon.svg", "marks.js", "now.css", "now.js", "page.css", "page.js", "present.js", "rows.js", "state.js", "talk.js", "units.js", "welds.js", "words.en.json", "words.es.json", "words.js",
];

async function freshOrKept(request) {
  const shelf = await caches.open(SHELF);
  try {
    const response = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    if (response.ok) await shelf.put(request, response.clone());
    return response;
  } catch (error) {
    const kept = await shelf.match(request);
    if (kept?.redirected) return Response.redirect(kept.url); // "/" leads to the field page
    if (kept) return kept;
    throw error;
  }
}

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(caches.open(SHELF).then((shelf) => shelf.addAll(SHELL)));
});

addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { request } = event;
  const isApi = new URL(request.url).pathname.includes("/api/");
  if (request.method === "GET" && !isApi) event.respondWith(freshOrKept(request));
});
