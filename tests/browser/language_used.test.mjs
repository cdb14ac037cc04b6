// The demo course in the language that shouts: what the scripts say to searches, slips in worked examples, a core that
// does not load, and without signal.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { open, openKept } from "./browser.mjs";
import { MARK, unmarked } from "./language.mjs";
import { HOW, readAll, site, used } from "./language_said.mjs";
import { serve } from "./server.mjs";
import { whole } from "./worked.mjs";

test("search: found, many, none, and an index that does not load", async () => {
  await used("index.html", "", async (page, _, look) => {
    await page.locator('[data-do="search"]').click();
    await page.locator("dialog.tk-find[open]").waitFor();
    await look("open");
    // The groups and what each lies in; titles and pieces are the course's own or phrases'.
    for (const words of ["a", "ǂnozzle", "calibration", "qqqqzzz", "catch"]) {
      await page.locator("#tk-find-words").fill(words);
      await page.waitForTimeout(300);
      await look(`search for ${words}`);
    }
  });
  const server = await serve(site.site);
  await openKept(server.url("not-found.html"), async (page) => {
    await page.route("**/search*", (route) => route.abort());
    await page.locator('[data-do="search"]').click();
    await page.locator('[data-line="search"]').waitFor();
    assert.deepEqual(await unmarked(page), []);
  });
  await server.close();
});

// Slips are answered by code that all calculators share: each tries three, and all come round.
const TYPED = ["?!", "-5", "0", "987654321", "0,0001", "12", ""];
const TYPED_EACH = 3;
describe("worked examples and calculators", () => {
  for (const [index, name] of [...readAll('data-part="worked"'), ...readAll('data-part="work"')].filter((name) => name.startsWith("work/")).entries()) {
    test(name, async () => {
      await used(name, "", async (page, _, look) => {
        const part = page.locator('[data-part="worked"]').first();
        await part.dispatchEvent("pointerdown");
        await page.locator('[data-part="worked"][data-started]').first().waitFor();
        await look("started");
        const fields = part.locator(".tk-field__number");
        const count = await fields.count();
        for (let turn = 0; turn < TYPED_EACH; turn += 1) {
          const typed = TYPED[(index * TYPED_EACH + turn) % TYPED.length];
          for (let at = 0; at < Math.min(count, 12); at += 1) {
            const field = fields.nth(at);
            if (await field.isVisible()) await field.fill(typed);
          }
          await whole(page);
          await look(`every number is “${typed}”`);
        }
        for (const $button of await part.locator('[data-do="add"]:visible').all()) await $button.click();
        await whole(page);
        await look("rows added");
        await page.locator('[data-do="units"][data-units="metric"]').first().evaluate(($button) => $button.click());
        await whole(page);
        await look("metric");
      });
    });
  }
});

test("a core that cannot be loaded", async () => {
  const name = site.pages.find((one) => one.startsWith("work/"));
  await open(site.url(name), async (page) => {
    await page.evaluate(() => { window.needScript = () => Promise.reject(new Error("no signal")); });
    await page.locator(".tk-field__number").first().fill("157");
    await page.locator('[data-role="unloaded"]').waitFor({ state: "visible" });
    assert.deepEqual(await unmarked(page), []);
  }, HOW);
});

describe("without signal", () => {
  const kept = (page) => page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined)).then(() => page.waitForFunction(() => navigator.serviceWorker.controller !== null));

  test("what is kept, what is not, and a page that is not there", async () => {
    const server = await serve(site.site);
    await openKept(server.url("index.html"), async (page, context) => {
      await kept(page);
      await page.locator("[data-kept]").waitFor();
      assert.deepEqual(await unmarked(page), [], "kept");
      await server.close();
      await context.setOffline(true);
      await page.goto(server.url("lessons/nowhere.html"));
      const said = await page.locator("h1").innerText();
      assert.ok(said.includes(MARK), said);
      assert.deepEqual(await unmarked(page), [], "nowhere");
    });
  });

  test("a device that is full, and a new version", async () => {
    const server = await serve(site.site);
    await openKept("about:blank", async (page, context) => {
      const devtools = await context.newCDPSession(page);
      await devtools.send("Storage.overrideQuotaForOrigin", { origin: server.origin, quotaSize: 600_000 });
      await page.goto(server.url("index.html"));
      await page.locator('[data-line="full"]').waitFor();
      assert.deepEqual(await unmarked(page), [], "full");
    });
    await openKept(server.url("index.html"), async (page) => {
      await kept(page);
      server.folder = site.newer();
      await page.goto(server.url("index.html"));
      await page.locator('[data-line="update"] button').first().waitFor();
      assert.deepEqual(await unmarked(page), [], "a new version");
    });
    await server.close();
  });
});
