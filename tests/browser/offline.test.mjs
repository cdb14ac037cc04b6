// A course that was opened once opens without signal, and nothing that goes wrong with what is kept breaks a page: a
// half-finished update, a full device, a poisoned store, a check that is open when a new version comes.

import assert from "node:assert/strict";
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { openKept } from "./browser.mjs";
import { serve } from "./server.mjs";
import { PAGES, SITE, pagesWith, publish, readPage } from "./site.mjs";

const LESSON = "lessons/catch-test.html";
const room = mkdtempSync(join(tmpdir(), "tankside-offline-"));
after(() => rmSync(room, { recursive: true, force: true }));

/** The demo course with a word of a lesson changed, published again, and once more. */
const NEWER = join(room, "newer");
const NEWEST = join(room, "newest");
before(() => {
  const course = join(room, "course");
  cpSync(new URL("../../site-demo", import.meta.url).pathname, course, { recursive: true });
  const lesson = join(course, "lessons/catch-test.md");
  const words = readFileSync(lesson, "utf8");
  for (const [folder, word] of [[NEWER, "Now squeeze"], [NEWEST, "Slowly squeeze"]]) {
    writeFileSync(lesson, words.replace("Squeeze the gun", `${word} the gun`));
    publish(folder, course);
  }
});

/** Waits until the page's worker keeps everything. */
async function kept(page) {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await until(page, () => navigator.serviceWorker.controller !== null);
}

/** A server whose folder can be changed, whose requests are counted, and which can die. */
async function host(folder) {
  const server = await serve(folder);
  return Object.assign(server, { asked: () => server.seen.splice(0) });
}

/** Waits until a condition of a page holds; `waitForFunction` takes a promise for a yes. */
async function until(page, asked, ...given) {
  for (let turn = 0; turn < 300; turn += 1) {
    // The page may be loaded again while it is asked.
    if (await page.evaluate(asked, ...given).catch(() => false)) return;
    await page.waitForTimeout(100);
  }
  throw new Error(`never so: ${asked}`);
}

/** Types a number into a worked example, which wakes the core, and waits for another answer. */
async function works(page) {
  const field = page.locator('[data-part="worked"] .tk-field__number:not([value=""])').first();
  const answer = page.locator('[data-part="answer"]').first();
  const earlier = await answer.innerText();
  await field.fill("321");
  for (let turn = 0; turn < 200 && (await answer.innerText()) === earlier; turn += 1) await page.waitForTimeout(50);
  assert.notEqual(await answer.innerText(), earlier, "the answer follows");
}

const stores = (page) => page.evaluate(() => caches.keys());
const text = (page, selector = "main") => page.locator(selector).first().innerText();

describe("without signal", () => {
  test("every page of the course opens, and what is on it works", async () => {
    const server = await host(SITE);
    await openKept(server.url(LESSON), async (page, context) => {
      await kept(page);
      assert.match(await page.locator("[data-kept]").innerText(), /saved on this device/);
      await server.close();
      await context.setOffline(true);
      for (const name of PAGES) {
        const answer = await page.goto(server.url(name));
        assert.equal(answer.status(), 200, name);
        assert.equal(await page.locator("h1").count(), 1, name);
      }
      await page.goto(server.url("work/tank-mix.html"));
      await works(page);
      await page.goto(server.url("drill.html"));
      await page.locator('[data-do="begin"]').click();
      await page.locator('[data-role="stage"]:not([hidden]) .tk-round__question').waitFor();
      await page.goto(server.url(LESSON));
      await page.locator('[data-do="search"]').click();
      await page.locator("#tk-find-words").fill("calibration");
      await page.locator(".tk-find__row").first().waitFor();
      // A folder leads to its first page, and an unknown address is reported as unknown.
      await page.goto(server.url(""));
      assert.equal(await page.locator("h1").count(), 1);
      const none = await page.goto(server.url("lessons/nowhere.html"));
      assert.equal(none.status(), 503);
      assert.match(await page.locator("h1").innerText(), /not saved on this device/);
      // It has the face of the course without its style file, fits a phone, and leads on.
      assert.match(await text(page, "header"), /First week on the hose/);
      const band = () => page.locator("header").evaluate(($band) => getComputedStyle($band).backgroundColor);
      const light = await band();
      await page.emulateMedia({ colorScheme: "dark" });
      assert.notEqual(await band(), light);
      assert.notEqual(await band(), "rgba(0, 0, 0, 0)");
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
      assert.equal(await page.locator("main p a").getAttribute("href"), "");
      for (const way of await page.locator("li a").evaluateAll((all) => all.map((one) => one.href))) assert.equal((await page.goto(way)).status(), 200, way);
    });
  });

  test("the manifest lets the course be installed", async () => {
    const server = await host(SITE);
    await openKept(server.url("index.html"), async (page, context) => {
      await kept(page);
      const devtools = await context.newCDPSession(page);
      await page.waitForFunction(() => document.querySelector('link[rel="manifest"]') !== null);
      const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
      // A private window, as tests have it, can never be installed from.
      assert.deepEqual(installabilityErrors.filter(({ errorId }) => errorId !== "in-incognito"), []);
      const { errors, data } = await devtools.send("Page.getAppManifest");
      assert.deepEqual(errors, []);
      assert.equal(JSON.parse(data).name, "First week on the hose");
    });
    await server.close();
  });
});

describe("a new version", () => {
  test("is offered, loads only what has changed, and is taken when it is asked for", async () => {
    const server = await host(SITE);
    await openKept(server.url(LESSON), async (page) => {
      await kept(page);
      server.asked();
      server.folder = NEWER;
      await page.goto(server.url(LESSON));
      const use = page.locator('[data-line="update"] button').first();
      await use.waitFor();
      assert.match(await text(page), /Squeeze the gun/, "the page is still the earlier one");
      const loaded = server.asked().filter((path) => !path.endsWith("offline.js"));
      assert.ok(loaded.length < 8 && loaded.some((path) => path.endsWith(LESSON)), loaded.join(" "));
      assert.equal((await stores(page)).length >= 2, true, "both versions are kept while one waits");
      await use.click();
      await page.waitForFunction(() => document.querySelector("main")?.innerText.includes("Now squeeze the gun"));
      await until(page, async () => (await caches.keys()).length === 1);
    });
    await server.close();
  });

  test("waits while a check is open, and is taken afterwards", async () => {
    const server = await host(SITE);
    const [check] = pagesWith('data-counts="yes"');
    await openKept(server.url(check), async (page, context) => {
      await kept(page);
      await page.locator('[data-counts="yes"] [data-role="start"] button').click();
      await page.locator('[data-role="stage"]:not([hidden])').waitFor();
      server.folder = NEWER;
      await page.evaluate(() => navigator.serviceWorker.getRegistration().then((course) => course.update()));
      const line = page.locator('[data-line="update"]');
      await line.waitFor();
      assert.match(await line.innerText(), /waits until you have finished/);
      assert.equal(await line.locator("button").count(), 0, "nothing to press by mistake");
      // Another page of the course asks for it: it does not come while the check is open.
      const other = await context.newPage();
      await other.goto(server.url("glossary.html"));
      await other.locator('[data-line="update"] button').first().click();
      await other.locator('[data-line="update"]', { hasText: "Another page of this course is in use" }).waitFor();
      assert.ok(await page.locator('[data-role="stage"]:not([hidden])').isVisible(), "the check is as it was");
      await other.close();
      await page.locator('[data-do="hand-in"]').click();
      await page.locator('[data-do="surely"]').click();
      await page.locator('[data-role="total"]').waitFor();
      await line.locator("button").first().click();
      await until(page, async () => (await caches.keys()).length === 1);
      await page.goto(server.url(LESSON));
      assert.match(await text(page), /Now squeeze the gun/);
    });
    await server.close();
  });

  test("that is half loaded when the server dies breaks nothing, and goes on where it was", async () => {
    const server = await host(SITE);
    await openKept(server.url(LESSON), async (page, context) => {
      await kept(page);
      server.folder = NEWER;
      server.dies = LESSON;
      await page.goto(server.url("index.html"));
      await page.evaluate(() => navigator.serviceWorker.getRegistration().then((course) => course.update()).catch(() => {}));
      await until(page, () => navigator.serviceWorker.getRegistration().then((course) => !course.installing));
      assert.equal(await page.locator('[data-line="update"]').count(), 0, "what is not whole is not offered");
      await context.setOffline(true);
      for (const name of [LESSON, "index.html", "work/tank-mix.html"]) {
        await page.goto(server.url(name));
        assert.equal(await page.locator("h1").count(), 1, name);
      }
      await page.goto(server.url(LESSON));
      assert.doesNotMatch(await text(page), /Now squeeze/);
      await context.setOffline(false);
      server.dies = null;
      server.asked();
      await page.goto(server.url(LESSON));
      await page.locator('[data-line="update"] button').first().waitFor();
      assert.ok(server.asked().length < 8, "what was loaded is not loaded again");
    });
    await server.close();
  });

  test("that waits is not lost when the one after it breaks off", async () => {
    const server = await host(SITE);
    await openKept(server.url(LESSON), async (page, context) => {
      await kept(page);
      server.folder = NEWER;
      await page.goto(server.url(LESSON));
      const use = page.locator('[data-line="update"] button').first();
      await use.waitFor();
      server.folder = NEWEST;
      server.dies = LESSON;
      await page.evaluate(() => navigator.serviceWorker.getRegistration().then((course) => course.update()).catch(() => {}));
      await until(page, () => navigator.serviceWorker.getRegistration().then((course) => !course.installing && course.waiting !== null));
      await context.setOffline(true);
      await use.click();
      await page.waitForFunction(() => document.querySelector("main")?.innerText.includes("Now squeeze the gun"));
      for (const name of ["index.html", "work/tank-mix.html"]) {
        await page.goto(server.url(name));
        assert.match(await text(page, "h1"), /\S/, name);
        assert.ok(await page.locator("main").count(), `${name} is there`);
      }
    });
    await server.close();
  });
});

describe("what is kept", () => {
  test("does not fit on a full device: the page says so, and works", async () => {
    const server = await host(SITE);
    await openKept("about:blank", async (page, context) => {
      const devtools = await context.newCDPSession(page);
      await devtools.send("Storage.overrideQuotaForOrigin", { origin: server.origin, quotaSize: 600_000 });
      await page.goto(server.url(LESSON));
      const line = page.locator('[data-line="full"]');
      await line.waitFor();
      assert.match(await line.innerText(), /no room left/);
      await works(page);
      await until(page, async () => (await caches.keys()).every((name) => name.endsWith(" notes")));
      server.asked();
      await page.goto(server.url("index.html"));
      await page.locator('[data-line="full"]').waitFor();
      assert.ok(server.asked().length < 30, "it is not tried again at once");
      await line.locator("button").click();
      assert.equal(await line.count(), 0);
    });
    await server.close();
  });

  test("is answered only as it was published: a poisoned or emptied store is mended or passed over", async () => {
    const server = await host(SITE);
    await openKept(server.url("index.html"), async (page, context) => {
      await kept(page);
      await page.evaluate(async (addresses) => {
        for (const name of await caches.keys()) {
          const store = await caches.open(name);
          const [lesson, script, gone] = addresses;
          await store.put(lesson, new Response("<script>poison</script>", { headers: { "content-type": "text/html" } }));
          await store.put(script, new Response("throw new Error('poison')", { headers: { "content-type": "text/javascript" } }));
          await store.delete(gone);
        }
      }, [server.url(LESSON), server.url("assets/site.js"), server.url("glossary.html")]);
      await page.goto(server.url(LESSON));
      await works(page);
      assert.doesNotMatch(await page.content(), /poison/);
      await page.goto(server.url("glossary.html"));
      // What was mended is there without signal.
      await until(page, async (address) => (await caches.match(address)) !== undefined, server.url("glossary.html"));
      await context.setOffline(true);
      for (const name of [LESSON, "glossary.html"]) {
        await page.goto(server.url(name));
        assert.equal(await page.locator("h1").count(), 1, name);
      }
      // Poisoned again, and no server to ask: rather nothing than that.
      await page.evaluate(async (address) => {
        for (const name of await caches.keys()) await (await caches.open(name)).put(address, new Response("poison"));
      }, server.url("units.html"));
      const answer = await page.goto(server.url("units.html"));
      assert.equal(answer.status(), 503);
      assert.doesNotMatch(await page.content(), /poison/);
      // All of it gone.
      await page.evaluate(async () => { for (const name of await caches.keys()) await caches.delete(name); });
      await context.setOffline(false);
      await page.goto(server.url(LESSON));
      assert.equal(await page.locator("h1").count(), 1);
    });
    await server.close();
  });

  test("is given up where the trainer has switched it off", async () => {
    const server = await host(SITE);
    const course = join(room, "off");
    cpSync(new URL("../../site-demo", import.meta.url).pathname, course, { recursive: true });
    const settings = join(course, "course.yaml");
    writeFileSync(settings, `${readFileSync(settings, "utf8")}\noffline: false\n`);
    publish(join(room, "off-site"), course);
    await openKept(server.url(LESSON), async (page) => {
      await kept(page);
      server.folder = join(room, "off-site");
      await page.goto(server.url(LESSON));
      await until(page, async () => (await caches.keys()).length === 0);
      await until(page, async () => (await navigator.serviceWorker.getRegistrations()).length === 0);
      await page.goto(server.url(LESSON));
      assert.equal(await page.evaluate(() => document.documentElement.dataset.keep ?? ""), "");
      assert.equal((await stores(page)).length, 0);
    });
    await server.close();
  });
});

test("of a page opened from a disk nothing is kept, and no manifest is named", () => {
  for (const name of PAGES) assert.doesNotMatch(readPage(name), /webmanifest|keep\.js/, name);
  assert.ok(readdirSync(SITE).includes("course.webmanifest"));
});
