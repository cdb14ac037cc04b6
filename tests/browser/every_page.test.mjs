// Every page of the published course opens cleanly from a web server at any path and from a disk.

import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { dirname, join, normalize } from "node:path/posix";
import { after, before, describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { PAGES, SITE, diskUrl, readPage } from "./site.mjs";

let server;
before(async () => {
  server = await serve(SITE);
});
after(() => server.close());

/** Long enough for deferred scripts, the core and any late request to have had their say. */
async function settle(page) {
  await page.waitForLoadState("networkidle");
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 20))));
}

async function isWhole(page) {
  await settle(page);
  assert.notEqual((await page.title()).trim(), "", "the page has a title");
  assert.equal(await page.locator("h1").count(), 1, "the page has one main heading");
}

describe("opens over http with nothing wrong", () => {
  for (const name of PAGES) test(name, () => open(server.url(name), isWhole));
});

// Each page is opened once for all three: opening is most of the work.
describe("opens from a disk with nothing wrong, keeps the accessibility rules on a phone, and fits the width of the screen", () => {
  for (const name of PAGES) {
    test(name, async () => {
      const seen = { viewport: PHONE, colorScheme: "light", reducedMotion: "reduce" };
      await open(diskUrl(name), async (page) => {
        await isWhole(page);
        assert.deepEqual(await violations(page), []);
        for (const width of [320, PHONE.width, 768, DESK.width]) {
          await page.setViewportSize({ width, height: PHONE.height });
          const wide = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
          assert.ok(wide <= 0, `at ${width} px the page is ${wide} px too wide`);
        }
      }, seen);
    });
  }
});

describe("carries the policy, and nothing that the policy refuses", () => {
  for (const name of PAGES) {
    test(name, () => {
      const markup = readPage(name);
      assert.match(markup, /http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self' 'wasm-unsafe-eval';/);
      assert.doesNotMatch(markup, /<[^>]+\s(style|on[a-z]+)\s*=/i, "no inline style and no inline handler");
      assert.doesNotMatch(markup, /\sintegrity=/, "an integrity attribute blocks scripts on file://");
      assert.doesNotMatch(markup, /type="module"/, "modules do not load from file://");
    });
  }
});

describe("links to files and places that are there", () => {
  for (const name of PAGES) {
    test(name, () => {
      // Read off the markup: no browser is needed to know whether a file is there.
      const links = [...readPage(name).matchAll(/<[^>]*\s(?:href|src)="([^"]*)"/g)].map(([, link]) => link.replaceAll("&amp;", "&"));
      assert.ok(links.length > 3, "a page has links");
      for (const link of links) checkLink(name, link);
    });
  }
});

function checkLink(from, link) {
  if (/^(https?:|mailto:|tel:\+|data:)/.test(link)) return;
  assert.doesNotMatch(link, /^\/|^[a-z]+:/i, `${link} is relative`);
  const [file, fragment] = link.split("#");
  const target = file === "" ? from : normalize(join(dirname(from), decodeURIComponent(file.split("?")[0])));
  assert.ok(!target.startsWith(".."), `${link} stays in the site`);
  assert.match(target, /\.[a-z0-9]+$/, `${link} ends in a file name`);
  assert.ok(existsSync(join(SITE, target)), `${link} leads to a file`);
  if (fragment && target.endsWith(".html")) {
    assert.ok(readPage(target).includes(`id="${decodeURIComponent(fragment)}"`), `${link} leads to a place in ${target}`);
  }
}
