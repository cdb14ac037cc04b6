/**
 * Keeps a whole course on the device, so that it opens without a signal. What is kept is this version's files, each
 * known by its SHA-256: nothing else is ever served from the store, so a half-filled or altered store costs a request
 * and breaks nothing. A new version fills its own store and waits until it is asked for.
 */
"use strict";
/* global KEPT */

const SCOPE = new URL(self.registration.scope);
/** Stores belong to an origin: other sites on it may have theirs there. */
const MINE = `tankside ${SCOPE.pathname} `;
const STORE = MINE + KEPT.version;
const NOTES = `${MINE}notes`;
const IN_USE = new URL("?in-use", SCOPE).href;
const FULL = new URL("?full", SCOPE).href;
/** Requests at one time while the store is filled. */
const AT_ONCE = 6;
/** How long a page may take to say whether somebody is busy on it. */
const PATIENCE_MS = 1500;
/** How long to wait after a store was full before trying again: every try costs the learner data. */
const FULL_FOR_MS = 30 * 60_000;

/** @type {Map<string, string>} digest of every file by its name in the site */
const DIGESTS = new Map(KEPT.files);

const KINDS = {
  html: "text/html; charset=utf-8", css: "text/css; charset=utf-8", js: "text/javascript; charset=utf-8",
  webmanifest: "application/manifest+json", svg: "image/svg+xml", png: "image/png", jpg: "image/jpeg", jpeg: "image/jpeg",
  gif: "image/gif", webp: "image/webp", avif: "image/avif", csv: "text/csv; charset=utf-8", txt: "text/plain; charset=utf-8", pdf: "application/pdf",
};

/** @param {string} name */
const addressOf = (name) => new URL(name.split("/").map(encodeURIComponent).join("/"), SCOPE).href;

/** The file that an address means, or nothing if none is kept. @param {URL} url */
function nameOf(url) {
  let name;
  try { name = decodeURIComponent(url.pathname.slice(SCOPE.pathname.length)); } catch { return null; }
  return [name === "" || name.endsWith("/") ? `${name}index.html` : name, `${name}.html`].find((one) => DIGESTS.has(one)) || null;
}

/** @param {ArrayBuffer} bytes */
async function digestOf(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest.subarray(0, 16)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** A file from a store, if its digest matches. @param {Cache} store @param {string} name */
async function whole(store, name) {
  const found = await store.match(addressOf(name));
  const bytes = found && (await found.arrayBuffer());
  return bytes && (await digestOf(bytes)) === DIGESTS.get(name) ? bytes : null;
}

/** @param {string} name @param {ArrayBuffer} bytes */
function answerOf(name, bytes) {
  const kind = KINDS[name.slice(name.lastIndexOf(".") + 1).toLowerCase()] || "application/octet-stream";
  const headers = { "content-type": kind, "x-content-type-options": "nosniff" };
  // An attachment is saved by the browser, and is not a page of this course.
  if (name.startsWith("attachments/")) Object.assign(headers, { "content-disposition": "attachment", "content-security-policy": "sandbox" });
  return new Response(bytes, { headers });
}

/** A file from the server, if its digest matches. @param {string} name */
async function fetched(name) {
  const answer = await fetch(addressOf(name), { cache: "no-cache" });
  if (!answer.ok) throw new Error(`${answer.status} for ${name}`);
  const bytes = await answer.arrayBuffer();
  if ((await digestOf(bytes)) !== DIGESTS.get(name)) throw new Error(`${name} is of another version`);
  return bytes;
}

/** @param {any} message */
async function tell(message) {
  for (const page of await self.clients.matchAll({ type: "window", includeUncontrolled: true })) if (page.url.startsWith(SCOPE.href)) page.postMessage(message);
}

/** Stores of other versions: those in use are kept, those that nobody will use are removed. */
async function others() {
  const used = [];
  for (const name of await caches.keys()) {
    if (!name.startsWith(MINE) || name === STORE || name === NOTES) continue;
    const store = await caches.open(name);
    // A version that waits takes over if this one cannot be filled: its store stays until this one is activated.
    if (self.registration.waiting || (await store.match(IN_USE))) used.push(store); else await caches.delete(name);
  }
  return used;
}

/** Fills the store of this version; what an earlier try left in it is kept, and what has not changed is not loaded again. */
async function fill() {
  const note = await (await caches.open(NOTES)).match(FULL);
  const [version, time] = note ? (await note.text()).split(" ") : [];
  const since = Date.now() - Number(time);
  if (version === KEPT.version && since >= 0 && since < FULL_FOR_MS) { await tell({ kept: "full" }); throw new Error("the store was full a moment ago"); }
  const older = await others();
  const store = await caches.open(STORE);
  const names = [...DIGESTS.keys()];
  /** @param {string} name */
  async function take(name) {
    if (await whole(store, name)) return;
    let bytes = null;
    for (const one of older) bytes = bytes || (await whole(one, name));
    await store.put(addressOf(name), answerOf(name, bytes || (await fetched(name))));
  }
  async function some() {
    for (let name = names.shift(); name !== undefined; name = names.shift()) await take(name);
  }
  try {
    await Promise.all(Array.from({ length: AT_ONCE }, some));
  } catch (cause) {
    names.length = 0;
    if (cause instanceof Error && cause.name === "QuotaExceededError") {
      await caches.delete(STORE);
      await (await caches.open(NOTES)).put(FULL, new Response(`${KEPT.version} ${Date.now()}`)).catch(() => {});
      await tell({ kept: "full" });
    }
    throw cause;
  }
}

/** Whether somebody is busy on another page of the course; a page that says nothing may be. @param {string} [asking] id of the page that asks */
async function busyElsewhere(asking) {
  const pages = (await self.clients.matchAll({ type: "window", includeUncontrolled: true })).filter((page) => page.id !== asking && page.url.startsWith(SCOPE.href));
  const answers = await Promise.all(pages.map((page) => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => done(event.data !== "free");
    setTimeout(done, PATIENCE_MS, true);
    page.postMessage({ ask: "busy" }, [port2]);
  })));
  return answers.includes(true);
}

self.addEventListener("install", (event) => event.waitUntil(fill()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(MINE) && name !== STORE) await caches.delete(name);
  await (await caches.open(STORE)).put(IN_USE, new Response("")).catch(() => {});
  await self.clients.claim();
})()));

self.addEventListener("message", (event) => {
  if (event.data !== "use") return;
  event.waitUntil((async () => {
    const page = event.source instanceof Client ? event.source.id : undefined;
    if (await busyElsewhere(page)) event.source?.postMessage({ kept: "later" }); else await self.skipWaiting();
  })());
});

/** A text as part of a page. @param {string} words */
const plain = (words) => words.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** Whether a page is kept, whole or not: it is looked at again when it is asked for. @param {string} name */
async function isKept(name) {
  try { return Boolean(await (await caches.open(STORE)).match(addressOf(name))); } catch { return false; }
}

/** The page shown when there is neither a kept one nor a signal: what to do, and what is there. It needs no other file. */
async function nothing() {
  const { title, help, again, saved, ways, style } = KEPT.missing;
  const rows = await Promise.all(ways.map(async (/** @type {[string, string]} */ [name, words]) => ((await isKept(name)) ? `<li><a href="${plain(addressOf(name))}">${plain(words)}</a></li>` : "")));
  const list = rows.join("") && `<p>${plain(saved)}</p><ul>${rows.join("")}</ul>`;
  const head = `<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><title>${plain(title)} · ${plain(KEPT.title)}</title><style>${style}</style>`;
  const body = `<header><span class="tk-cover__company">${plain(KEPT.company)}</span> · <span class="tk-cover__title">${plain(KEPT.title)}</span></header><main><h1>${plain(title)}</h1><p>${plain(help)}</p><p><a href="">${plain(again)}</a></p>${list}</main>`;
  const headers = { "content-type": KINDS.html, "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'" };
  return new Response(`<!doctype html>\n<html lang="${KEPT.language}"><head>${head}</head><body>${body}</body></html>`, { status: 503, headers });
}

/** @param {string|null} name @param {FetchEvent} event */
async function answer(name, event) {
  /** @type {Cache|null} */
  let store = null;
  try {
    if (name) {
      store = await caches.open(STORE);
      const bytes = await whole(store, name);
      if (bytes) return answerOf(name, bytes);
    }
  } catch {
    // A store that cannot be read counts as no store.
  }
  try {
    const fresh = await fetch(event.request);
    if (name && store && fresh.ok) event.waitUntil(mend(store, name, fresh.clone()));
    return fresh;
  } catch (cause) {
    if (event.request.mode === "navigate") return nothing();
    throw cause;
  }
}

/** Puts back what the store has lost, if the server still has the same file. @param {Cache} store @param {string} name @param {Response} fresh */
async function mend(store, name, fresh) {
  try {
    const bytes = await fresh.arrayBuffer();
    if ((await digestOf(bytes)) === DIGESTS.get(name)) await store.put(addressOf(name), answerOf(name, bytes));
  } catch {
    // The page has its answer; the store stays as it is.
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== SCOPE.origin || !url.pathname.startsWith(SCOPE.pathname)) return;
  const name = nameOf(url);
  if (name || event.request.mode === "navigate") event.respondWith(answer(name, event));
});
