// One browser for a test file, and pages that remember everything that went wrong on them.

import { existsSync } from "node:fs";
import { after } from "node:test";
import { chromium } from "playwright-core";

// The first is the same browser without windows, which opens a page in half the time.
const PLACES = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

// A browser of a distribution asks its maker for updates and more; a test talks to the site alone.
const QUIET = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

// A day that ended while a test runs would be another one for what is due and for what is left: everything here runs in
// the time zone where it is noon, where the day is also the one of UTC.
const fromNoon = 12 - new Date().getUTCHours();
process.env.TZ ??= `Etc/GMT${fromNoon > 0 ? "-" : "+"}${Math.abs(fromNoon)}`;

/** How long a test waits for what never comes; so long that no busy machine takes it. */
const LONGEST_WAIT_MS = 60_000;

// Pages draw by chance. A test meets the same draws at every run; another number tries others.
const SEED = Number(process.env.TANKSIDE_SEED ?? 1);
let opened = 0;

export const PHONE = { width: 360, height: 740 };
export const DESK = { width: 1280, height: 900 };

let started;

/** The browser, started at first use and closed after the file's last test. */
function browser() {
  started ??= chromium.launch({
    executablePath: process.env.CHROMIUM ?? PLACES.find(existsSync),
    args: QUIET,
  });
  return started;
}

after(async () => {
  if (started) await (await started).close();
});

/**
 * Opens a page in a profile of its own, hands it to `look`, and fails if anything went wrong on it:
 * an error in the console or in a script, a request without its answer, a refusal by the policy.
 * @param {string} url
 * @param {(page: import("playwright-core").Page) => Promise<void>} look
 * @param {import("playwright-core").BrowserContextOptions} [options]
 */
export async function open(url, look, options = {}) {
  const context = await (await browser()).newContext({ viewport: DESK, ...options });
  context.setDefaultTimeout(LONGEST_WAIT_MS);
  const wrong = [];
  try {
    const page = await context.newPage();
    watch(page, wrong);
    // Otherwise every page of every test would load the whole course into a profile that is thrown away.
    await page.addInitScript(() => { delete Navigator.prototype.serviceWorker; });
    opened += 1;
    await page.addInitScript(sameChance, SEED * 1000 + opened);
    await page.addInitScript(() => {
      addEventListener("securitypolicyviolation", (event) => {
        console.error(`policy: ${event.violatedDirective} refused ${event.blockedURI || event.sample}`);
      });
    });
    await page.goto(url, { waitUntil: "load" });
    await look(page);
  } finally {
    await context.close();
  }
  if (wrong.length > 0) throw new Error(`on ${url}:\n  ${wrong.join("\n  ")}`);
}

/** In the page: chance from a number, and from how often this tab has loaded a page, so that a page loaded again draws anew. */
function sameChance(seed) {
  window.name = String(Number(window.name) + 1);
  let state = Math.imul(seed, 2654435761) ^ Math.imul(Number(window.name), 40503);
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return (mixed ^ (mixed >>> 14)) >>> 0;
  };
  Math.random = () => next() / 2 ** 32;
  Crypto.prototype.getRandomValues = (numbers) => {
    numbers.set(numbers.map(next));
    return numbers;
  };
}

/**
 * Opens a page in a profile of its own whose browser may keep the course, and hands both to `look`. Broken requests are
 * part of what is tried; an error of a script or a refusal by the policy fails.
 * @param {string} url
 * @param {(page: import("playwright-core").Page, context: import("playwright-core").BrowserContext) => Promise<void>} look
 */
export async function openKept(url, look) {
  const context = await (await browser()).newContext({ viewport: PHONE });
  context.setDefaultTimeout(LONGEST_WAIT_MS);
  const wrong = [];
  try {
    const page = await context.newPage();
    page.on("pageerror", (error) => wrong.push(`script error: ${error.message}`));
    page.on("console", (message) => {
      if (/Content Security Policy|Uncaught/.test(message.text())) wrong.push(message.text());
    });
    await page.goto(url, { waitUntil: "load" });
    await look(page, context);
  } finally {
    await context.close();
  }
  if (wrong.length > 0) throw new Error(`on ${url}:\n  ${wrong.join("\n  ")}`);
}

/**
 * Holds a script of a served site back from a page until what it returns is called; what comes from a disk cannot be.
 * @param {import("playwright-core").Page} page
 * @param {string} script its name in assets/
 * @returns {Promise<() => void>}
 */
export async function held(page, script) {
  let release;
  const gate = new Promise((go) => { release = go; });
  await page.route(`**/assets/${script}`, async (route) => { await gate; await route.continue(); });
  return release;
}

function watch(page, wrong) {
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") {
      wrong.push(`console ${message.type()}: ${message.text()}`);
    }
  });
  page.on("pageerror", (error) => wrong.push(`script error: ${error.message}`));
  page.on("requestfailed", (request) => {
    // What is still under way when a page is left is broken off: the preview's stream, a part loaded at a touch. A file
    // that is missing fails otherwise.
    if (request.failure()?.errorText === "net::ERR_ABORTED") return;
    wrong.push(`request failed: ${request.url()} ${request.failure()?.errorText ?? ""}`);
  });
  page.on("response", (response) => {
    if (response.status() >= 400) wrong.push(`${response.status()} for ${response.url()}`);
  });
  page.on("dialog", (dialog) => {
    wrong.push(`a dialog opened: ${dialog.message()}`);
    dialog.dismiss().catch(() => {});
  });
}
