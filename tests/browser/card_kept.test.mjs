// Calibration cards that are kept in a browser: compared, renamed, deleted, carried in a file, and never lost unasked.

import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { DANA, LEE, PAGE, chore, keep, ready, rows, said, write } from "./card.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";

const MARKUP = `<img src=x onerror="window.ran=1">`;

let server;
const folder = mkdtempSync(join(tmpdir(), "tankside-cards-"));
before(async () => { server = await serve(SITE); });
after(() => { server.close(); rmSync(folder, { recursive: true, force: true }); });

async function exported(page, to) {
  const [download] = await Promise.all([page.waitForEvent("download"), chore(page, "save").click()]);
  await download.saveAs(to);
  return { name: download.suggestedFilename(), text: readFileSync(to, "utf8") };
}

async function readIn(page, name, text) {
  const file = join(folder, name);
  writeFileSync(file, text);
  await page.setInputFiles('[data-role="file"]', file);
  await page.locator('[data-role="list-said"]:not(:empty)').waitFor();
  return said(page, "list");
}

for (const [how, address] of [["over http", () => server.url(PAGE)], ["from a disk", () => diskUrl(PAGE)]]) {
  test(`kept cards are there again after a reload, ${how}`, async () => {
    await open(address(), async (page) => {
      await ready(page);
      await keep(page, DANA);
      await keep(page, LEE);
      await page.reload();
      await ready(page);
      assert.equal(await rows(page).count(), 2);
      assert.equal(await page.locator(".tk-card__operator").innerText(), "Lee Marsh", "the last one is open");
      await page.getByRole("button", { name: "Dana Quill", exact: true }).click();
      assert.equal(await page.locator(".tk-card__operator").innerText(), "Dana Quill");
      assert.equal(await page.inputValue('[name="timed.1.area-time"]'), "80");
    });
  });
}

test("operators are shown side by side, and one is renamed by editing", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await keep(page, LEE);
    const table = (await page.locator(".tk-cards__table").innerText()).replace(/\u00a0/g, " ");
    assert.match(table, /2\.00 ± 0\.0\d+\s/, "with its uncertainty");
    for (const text of ["2.50 ± 0.0", "10 gal", "12.5 gal", "100,000 ft²", "80,000 ft²"]) {
      assert.ok(table.includes(text), `${text} is in the table`);
    }
    assert.equal(await page.locator("tr[aria-current] .tk-cards__name").innerText(), "Lee Marsh");
    await chore(page, "edit").click();
    await page.fill('[name="operator"]', "Leigh Marsh");
    await chore(page, "keep").click();
    assert.deepEqual(await page.locator(".tk-cards__name").allInnerTexts(), ["Dana Quill", "Leigh Marsh"]);
    await chore(page, "edit").click();
    await page.fill('[name="date"]', "2026-09-01");
    await chore(page, "keep-new").click();
    assert.equal(await rows(page).count(), 3, "a later calibration beside the earlier one");
    await page.locator('[data-do="units"][data-units="metric"]').evaluate(($button) => $button.click());
    assert.match(await page.locator(".tk-cards__table").innerText(), /L\/100\s+m²/, "the table follows the units");
  });
});

test("on a phone the table of cards shows that there is more of it, and is scrolled with the keyboard", async () => {
  for (const colorScheme of ["light", "dark"]) {
    await open(diskUrl(PAGE), async (page) => {
      await ready(page);
      await keep(page, DANA);
      const table = page.locator(".tk-cards__table");
      const [whole, shown] = await table.evaluate(($table) => [$table.scrollWidth, $table.clientWidth]);
      assert.ok(shown < whole, "it is wider than the phone");
      // Two shadows that stay put, and two white layers that move with the table and cover them at its ends.
      const edges = await table.evaluate(($table) => getComputedStyle($table).backgroundAttachment);
      assert.equal(edges.replace(/\s/g, ""), "local,local,scroll,scroll,scroll");
      const opaque = await table.locator("thead th, td").evaluateAll(($cells) =>
        $cells.filter(($cell) => !/^rgba\(.*, 0\)$/.test(getComputedStyle($cell).backgroundColor)).map(($cell) => $cell.innerText));
      assert.deepEqual(opaque, [], "no cell hides them");
      await table.focus();
      await page.keyboard.press("ArrowRight");
      await page.waitForFunction(() => document.querySelector(".tk-cards__table").scrollLeft > 0);
      assert.deepEqual(await violations(page), []);
    }, { viewport: PHONE, colorScheme, reducedMotion: "reduce" });
  }
});

test("deleting asks first, in the page", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await keep(page, LEE);
    await page.getByRole("button", { name: "Delete: Dana Quill" }).click();
    assert.match(await page.locator('[data-role="sure"]').innerText(), /Delete Dana Quill’s card\?/);
    assert.equal(await page.evaluate(() => document.activeElement.dataset.chore), "stay", "the safe answer has the focus");
    await chore(page, "stay").click();
    assert.equal(await rows(page).count(), 2);
    await page.getByRole("button", { name: "Delete: Dana Quill" }).click();
    await chore(page, "drop").click();
    assert.deepEqual(await page.locator(".tk-cards__name").allInnerTexts(), ["Lee Marsh"]);
    assert.equal(await said(page, "list"), "Dana Quill’s card is deleted.");
    assert.notEqual(await page.evaluate(() => document.activeElement.tagName), "BODY", "the focus is not lost");
  });
});

test("what is typed and not kept is not left behind unasked", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await write(page, { operator: "Lee Marsh", tank: "100" });
    await page.locator(".tk-cards__name").click();
    assert.ok(await page.locator('[data-role="unkept"]').isVisible());
    await chore(page, "back").click();
    assert.equal(await page.inputValue('[name="operator"]'), "Lee Marsh");
    await page.locator(".tk-cards__name").click();
    await chore(page, "leave").click();
    assert.equal(await page.inputValue('[name="operator"]'), "Dana Quill");
  });
});

test("neither the example nor a link's numbers take a kept card's place", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await chore(page, "keep").click();
    assert.match(await said(page, "sheet"), /made-up example/);
    await keep(page, DANA);
    await chore(page, "edit").click();
    await page.locator('[data-do="reset"]').click();
    await page.fill('[name="operator"]', "Lee Marsh");
    await chore(page, "keep").click();
    assert.deepEqual(await page.locator(".tk-cards__name").allInnerTexts(), ["Dana Quill", "Lee Marsh"]);
    const link = new URLSearchParams({ ...DANA, operator: "Cy Bell", pressure: "60 psi", "timed.1.volume": "1.5 gal", "timed.1.catch-time": "60 s", "timed.1.area": "1000 ft2", "timed.1.area-time": "80 s", tank: "200 gal", units: "us" });
    await page.goto(`${diskUrl(PAGE)}#card?${link}`);
    await page.locator(".tk-card__operator", { hasText: "Cy Bell" }).waitFor();
    await chore(page, "keep").click();
    assert.deepEqual(await page.locator(".tk-cards__name").allInnerTexts(), ["Dana Quill", "Lee Marsh", "Cy Bell"]);
  });
});

test("a card that is not whole is not kept, and says what is missing", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await write(page, { ...DANA, tank: "" });
    await chore(page, "keep").click();
    assert.match(await said(page, "sheet"), /not complete/);
    assert.match(await page.locator(".tk-answer__errors").innerText(), /Tank capacity: nothing entered/);
    await page.fill('[name="date"]', "2026-02-30");
    await page.locator('[data-name="date"] .tk-field__error').filter({ hasText: /no such date/ }).waitFor();
    assert.equal(await rows(page).count(), 0);
  });
});

test("cards go out to a file and come back the same", async () => {
  const to = join(folder, "out.json");
  let first;
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await keep(page, { ...LEE, operator: MARKUP });
    first = await exported(page, to);
    assert.match(first.name, /^[a-z0-9-]+-calibration-cards-\d{4}-\d\d-\d\d\.json$/);
    assert.equal(JSON.parse(first.text).cards.length, 2);
    await page.evaluate(() => localStorage.clear());
    await page.reload();
    await ready(page);
    assert.equal(await rows(page).count(), 0);
    assert.equal(await readIn(page, "again.json", first.text), "Added: 2 new, 0 already saved.");
    assert.equal((await exported(page, to)).text, first.text, "byte for byte");
    assert.equal(await readIn(page, "again.json", first.text), "Added: 0 new, 2 already saved.");
    assert.equal(await page.evaluate(() => window.ran), undefined, "markup in a name never runs");
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
  await open(server.url(PAGE), async (page) => {
    await ready(page);
    await keep(page, { ...DANA, operator: "Cy Bell" });
    assert.equal(await readIn(page, "merge.json", first.text), "Added: 2 new, 0 already saved.");
    assert.equal(await rows(page).count(), 3, "added to what was kept");
  });
});

test("a file that is no file of cards is refused, and nothing kept is lost", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    const kept = await page.evaluate(() => JSON.stringify(localStorage));
    for (const [name, text, sentence] of [
      ["broken.json", "{\"format\":\"tankside-cards\",", /damaged/],
      ["picture.json", "\u0089PNG\u0000\u0001", /damaged/],
      ["foreign.json", "{\"people\":[1,2,3]}", /not a file of calibration cards/],
      ["newer.json", "{\"format\":\"tankside-cards\",\"version\":9,\"cards\":[]}", /newer version/],
      ["markup.json", `{"format":"tankside-cards","version":1,"cards":[[["units","us"],["operator",${JSON.stringify(MARKUP)}]]]}`, /cannot be worked/],
      ["huge.json", " ".repeat(1_000_001), /far too large/],
    ]) {
      assert.match(await readIn(page, name, text), sentence, name);
      assert.equal(await page.evaluate(() => JSON.stringify(localStorage)), kept, name);
      assert.equal(await rows(page).count(), 1, name);
    }
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
});

test("every kept text that cannot be read is put aside with its day, and none is lost", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    const key = await page.evaluate(() => `tankside.${document.documentElement.dataset.course}.cards`);
    const texts = ["{broken", "another that is broken", '{"tankside-cards": 99}', "{broken"];
    for (const text of texts) {
      await page.evaluate(([key, text]) => localStorage.setItem(key, text), [key, text]);
      await page.reload();
      await ready(page);
      assert.ok(await page.locator('[data-role="unread"]').isVisible(), text);
    }
    await keep(page, DANA);
    const aside = await page.evaluate((key) => Object.fromEntries(
      Object.keys(localStorage).filter((name) => name.startsWith(`${key}.aside.`)).map((name) => [name, localStorage.getItem(name)]),
    ), key);
    // The same text twice is one copy.
    assert.deepEqual(Object.values(aside).sort(), [...new Set(texts)].sort());
    for (const name of Object.keys(aside)) assert.match(name, /\.aside\.\d{4}-\d{2}-\d{2}\.\d$/);
  });
});

test("two tabs that keep a card at the same instant both keep it", async () => {
  await open(server.url(PAGE), async (page) => {
    const other = await page.context().newPage();
    await other.goto(server.url(PAGE));
    for (const one of [page, other]) await ready(one);
    const key = await page.evaluate(() => `tankside.${document.documentElement.dataset.course}.cards`);
    for (let turn = 0; turn < 6; turn += 1) {
      await write(page, { ...DANA, operator: `Dana ${turn}` });
      await write(other, { ...LEE, operator: `Lee ${turn}` });
      // Both press at the same instant, by the clock.
      await Promise.all([page, other].map((one) => one.evaluate(() => {
        const at = Math.ceil(Date.now() / 400 + 1) * 400;
        return new Promise((done) => { setTimeout(() => { document.querySelector('[data-chore="keep"]').click(); done(undefined); }, at - Date.now()); });
      })));
      await page.waitForFunction(([key, names]) => names.every((name) => (localStorage.getItem(key) || "").includes(name)), [key, [`Dana ${turn}`, `Lee ${turn}`]]);
    }
    for (const one of [page, other]) {
      await one.reload();
      await ready(one);
      assert.equal(await rows(one).count(), 12);
    }
  });
});

test("cards of a later version stay where they are, and cards of this one are kept beside them", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    const key = await page.evaluate(() => `tankside.${document.documentElement.dataset.course}.cards`);
    const newer = JSON.stringify({ format: "tankside-cards", version: 9, cards: [["whatever", "it holds"]] });
    await page.evaluate(([key, text]) => localStorage.setItem(key, text), [key, newer]);
    await page.reload();
    await ready(page);
    assert.ok(await page.locator('[data-role="unread"]').isVisible());
    await keep(page, DANA);
    await page.reload();
    await ready(page);
    assert.equal(await rows(page).count(), 1);
    assert.equal(await page.evaluate((key) => localStorage.getItem(key), key), newer);
  });
});

test("where the browser keeps nothing, cards serve until the page is left and can be saved to a file", async () => {
  await open("about:blank", async (page) => {
    await page.addInitScript(() => {
      Object.defineProperty(window, "localStorage", { get() { throw new DOMException("denied", "SecurityError"); } });
    });
    await page.goto(diskUrl(PAGE));
    await ready(page);
    assert.ok(await page.locator('[data-role="not-kept"]').isVisible(), "the page says so plainly");
    await keep(page, DANA);
    await keep(page, LEE);
    assert.equal(await rows(page).count(), 2);
    const { text } = await exported(page, join(folder, "refused.json"));
    assert.equal(JSON.parse(text).cards.length, 2);
  });
});

test("cards are made, kept and deleted with the keyboard alone", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    const tabTo = async (selector) => {
      for (let press = 0; press < 120; press += 1) {
        if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
        await page.keyboard.press("Tab");
      }
      assert.fail(`${selector} was never reached`);
    };
    await tabTo('[data-chore="new"]');
    await page.keyboard.press("Enter");
    for (const [name, text] of Object.entries(DANA).filter(([name]) => name !== "date")) {
      await tabTo(`[name="${name}"]`);
      await page.keyboard.type(text);
    }
    await tabTo('[data-chore="keep"]');
    await page.keyboard.press("Enter");
    assert.equal(await said(page, "sheet"), "Dana Quill’s card is saved.");
    await tabTo('[data-chore="edit"]');
    await page.keyboard.press("Enter");
    assert.equal(await chore(page, "edit").getAttribute("aria-expanded"), "true");
    await tabTo('[data-chore="ask"]');
    await page.keyboard.press("Enter");
    await tabTo('[data-chore="drop"]');
    await page.keyboard.press("Enter");
    assert.equal(await rows(page).count(), 0);
  });
});
