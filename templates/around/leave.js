/**
 * Takes the place of a worker that kept this course for use without a signal, removes what it kept, and goes. It is
 * used when the trainer has turned that off, and in a preview, which must show what is saved now.
 */
"use strict";

const SCOPE = new URL(self.registration.scope);
const MINE = `tankside ${SCOPE.pathname} `;
const PATIENCE_MS = 1500;

/** Whether nobody is in the middle of something on a page of the course. */
async function allFree() {
  const pages = (await self.clients.matchAll({ type: "window", includeUncontrolled: true })).filter((page) => page.url.startsWith(SCOPE.href));
  const answers = await Promise.all(pages.map((page) => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => done(event.data === "free");
    setTimeout(done, PATIENCE_MS, false);
    page.postMessage({ ask: "busy" }, [port2]);
  })));
  return !answers.includes(false);
}

self.addEventListener("install", (event) => event.waitUntil(allFree().then((free) => (free ? self.skipWaiting() : undefined))));
self.addEventListener("message", (event) => { if (event.data === "use") event.waitUntil(self.skipWaiting()); });
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(MINE)) await caches.delete(name);
  await self.registration.unregister();
})()));
