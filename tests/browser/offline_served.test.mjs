// What web servers do to a course that is kept: addresses sent elsewhere, a sign-in page in the way, files said to be
// fresh for a year. And the policy of a page, which holds for what comes from the store as well.

import assert from "node:assert/strict";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { openKept } from "./browser.mjs";
import { serve } from "./server.mjs";
import { SITE, publish } from "./site.mjs";

const LESSON = "lessons/catch-test.html";
const room = mkdtempSync(join(tmpdir(), "tankside-served-"));
after(() => rmSync(room, { recursive: true, force: true }));

/** Waits until a condition of a page holds. */
async function until(page, asked, ...given) {
  for (let turn = 0; turn < 300; turn += 1) {
    if (await page.evaluate(asked, ...given).catch(() => false)) return;
    await page.waitForTimeout(100);
  }
  throw new Error(`never so: ${asked}`);
}

/** Waits until the page's worker keeps everything. */
async function kept(page) {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await until(page, () => navigator.serviceWorker.controller !== null);
}

/** The demo course with a word changed and a file to download, published. */
function changed(word) {
  const [course, folder] = [join(room, `${word}-course`), join(room, word)];
  cpSync(new URL("../../site-demo", import.meta.url).pathname, course, { recursive: true });
  const lesson = join(course, "lessons/catch-test.md");
  writeFileSync(lesson, readFileSync(lesson, "utf8").replace("Squeeze the gun", `${word} squeeze the gun`));
  mkdirSync(join(course, "attachments"), { recursive: true });
  writeFileSync(join(course, "attachments/rates.csv"), "rate\n1.5\n");
  const settings = join(course, "course.yaml");
  writeFileSync(settings, `${readFileSync(settings, "utf8")}\nattachments:\n  - { file: rates.csv, title: Rates }\n`);
  publish(folder, course);
  return folder;
}

test("a server that leaves `.html` out of its addresses is kept as any other, and opens without signal", async () => {
  // `X.html` leads to `X`, which is answered with the file.
  const bare = await serve(SITE);
  bare.leads = (path) => (path.endsWith(".html") && !path.endsWith("/index.html") ? path.slice(0, -".html".length) : null);
  await openKept(bare.url("index.html"), async (page, context) => {
    await kept(page);
    assert.ok(bare.seen.some((path) => path.endsWith("/lessons/catch-test")), "it was sent on");
    await context.setOffline(true);
    for (const address of [LESSON, LESSON.replace(".html", "")]) {
      const answer = await page.goto(bare.url(address));
      assert.deepEqual([answer.status(), await page.locator("h1").count()], [200, 1], address);
    }
  });
  await bare.close();
});

test("a sign-in page in the way, as in a hotel, neither replaces a page nor reaches the store", async () => {
  const server = await serve(SITE);
  const folder = join(room, "sign-in");
  mkdirSync(folder);
  writeFileSync(join(folder, "in.html"), "<!doctype html><title>Sign in</title><h1>Sign in</h1>");
  const portal = await serve(folder);
  await openKept(server.url("index.html"), async (page) => {
    await kept(page);
    server.leads = () => portal.url("in.html");
    const said = await page.evaluate(() => navigator.serviceWorker.ready.then((way) => way.update()).then(() => "updated", () => "refused"));
    assert.equal(said, "refused");
    // A file that the store has lost is asked for, and what comes is not kept.
    await page.evaluate(async (address) => {
      for (const name of await caches.keys()) await (await caches.open(name)).delete(address);
      await fetch(address).catch(() => {});
    }, server.url("units.html"));
    assert.equal(await page.evaluate(async (address) => (await caches.match(address)) === undefined, server.url("units.html")), true);
    await page.goto(server.url(LESSON));
    assert.notEqual(await page.locator("h1").innerText(), "Sign in");
    server.leads = null;
    await page.goto(server.url("units.html"));
    await until(page, async (address) => (await caches.match(address)) !== undefined, server.url("units.html"));
  });
  await portal.close();
  await server.close();
});

test("files said to be fresh for a year do not keep a new version away", async () => {
  const server = await serve(SITE);
  server.headers = { "cache-control": "max-age=31536000, immutable" };
  await openKept(server.url(LESSON), async (page) => {
    await kept(page);
    const way = () => navigator.serviceWorker.ready.then((way) => way.updateViaCache);
    assert.equal(await page.evaluate(way), "none");
    server.folder = changed("Gently");
    server.seen.splice(0);
    await page.evaluate(() => navigator.serviceWorker.ready.then((way) => way.update()).then(() => undefined));
    assert.ok(server.seen.some((path) => path.endsWith("/offline.js")), "the worker's script is asked for again");
    await until(page, () => navigator.serviceWorker.ready.then((way) => way.waiting !== null));
  });
  await server.close();
});

test("the policy of a page holds for what comes from the store, and a download is no page", async () => {
  const server = await serve(changed("Firmly"));
  const other = await serve(SITE);
  let seen = false;
  const look = async (page, context) => {
    await kept(page);
    await context.setOffline(true);
    await page.goto(server.url(LESSON));
    await page.evaluate(async (foreign) => {
      const blocked = [];
      document.addEventListener("securitypolicyviolation", (event) => blocked.push(event.effectiveDirective));
      const script = document.createElement("script");
      script.textContent = "window.ran = true";
      const image = document.createElement("img");
      image.src = foreign;
      const styled = document.createElement("p");
      styled.setAttribute("style", "color: red");
      document.body.append(script, image, styled);
      await fetch(foreign).catch(() => {});
      window.blocked = blocked;
    }, other.url("index.html"));
    const all = ["script-src-elem", "img-src", "style-src-attr", "connect-src"];
    await page.waitForFunction((all) => all.every((directive) => window.blocked.includes(directive)), all);
    assert.equal(await page.evaluate(() => window.ran), undefined, "no script ran");
    const headers = await page.evaluate(async (address) => Object.fromEntries((await fetch(address)).headers), server.url("attachments/rates.csv"));
    assert.equal(headers["content-disposition"], "attachment");
    assert.equal(headers["content-security-policy"], "sandbox");
    assert.equal(headers["x-content-type-options"], "nosniff");
    seen = true;
  };
  // What was blocked is in the console, which fails every other test.
  await assert.rejects(openKept(server.url(LESSON), look), (cause) => { if (!seen) throw cause; return /Content Security Policy/.test(cause.message); });
  assert.ok(seen, "all of it was looked at");
  await other.close();
  await server.close();
});
