// The calibration card in a browser: an operator's runs in, a card out; kept, compared, carried in a file, printed.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { loadCore, phrasesOf } from "./core.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl, readPage } from "./site.mjs";

const PAGE = "card.html";
const MARKUP = `<img src=x onerror="window.ran=1">`;

/** 1.5 gal in 60 s, 1000 ft² in 80 s: 2 gal/1000 ft², by hand. */
const DANA = {
  operator: "Dana Quill", rig: "Truck 2", gun: "Turf gun", tip: "Green", pressure: "60", date: "2026-04-14",
  "timed.1.volume": "192", "timed.1.catch-time": "60", "timed.1.area": "1000", "timed.1.area-time": "80", tank: "200",
};
/** 1.5 gal in 60 s, 1000 ft² in 100 s: 2.5 gal/1000 ft², by hand. */
const LEE = { ...DANA, operator: "Lee Marsh", "timed.1.area-time": "100" };

let server;
const folder = mkdtempSync(join(tmpdir(), "tankside-card-"));
before(async () => { server = await serve(SITE); });
after(() => { server.close(); rmSync(folder, { recursive: true, force: true }); });

const chore = (page, name) => page.locator(`[data-chore="${name}"]`).first();
const said = (page, where) => page.locator(`[data-role="${where}-said"]`).innerText();
const rows = (page) => page.locator(".tk-cards__table tbody tr");
const cell = (page, name) => page.locator(`.tk-sheet [data-result="${name}"]`).innerText();
const ready = (page) => page.locator('[data-part="card"][data-started]').waitFor();

async function write(page, values) {
  await chore(page, "new").click();
  for (const [name, text] of Object.entries(values)) await page.fill(`.tk-sheet [name="${name}"]`, text);
}

async function keep(page, values) {
  await write(page, values);
  await chore(page, "keep").click();
  assert.equal(await said(page, "sheet"), `The card of ${values.operator} is kept.`);
}

async function addProduct(page, number, name, rate, most = "") {
  await page.locator('[data-do="add"][data-group="product"]').click();
  await page.fill(`[name="product.${number}.name"]`, name);
  await page.fill(`[name="product.${number}.rate"]`, rate);
  if (most) await page.fill(`[name="product.${number}.label-max"]`, most);
}

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

test("what is published is what WebAssembly makes, byte for byte", () => {
  const published = readPage(PAGE);
  const core = loadCore(phrasesOf(SITE));
  const pairs = [...published.matchAll(/<input class="tk-field__(?:number|words)"[^>]*? name="([^"]*)"[^>]*? value="([^"]*)"><?(?:select class="tk-field__unit".*?<option value="([^"]*)" selected>|span[^>]*data-unit="([^"]*)")?/gs)]
    .map(([, name, text, chosen, fixed]) => [name, [text, text && (chosen ?? fixed)].filter(Boolean).join(" ")]);
  assert.ok(pairs.length > 25, "the form was read");
  const made = core.worked("card", [...pairs, ["marks", "eighths"]], { name: "card", units: "us", level: 2 });
  assert.deepEqual(made.errors, {});
  assert.ok(published.includes(made.form.trim()), "the form");
  assert.ok(published.includes(made.answer.trim()), "the card");
});

test("a new card is filled in and answers with an operator's figures", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await write(page, DANA);
    await addProduct(page, 1, "Weed control", "1.5", "1.8");
    assert.match(await cell(page, "application-rate"), /2\s+±\s0\.0\d+\s+gal\/1000\s+ft²\s+87\.1\s+gal\/acre/);
    assert.equal((await cell(page, "lawn-5-volume")).replace(/\s/g, " "), "15 gal", "7500 ft² at 2 gal/1000 ft²");
    assert.equal((await cell(page, "mark-1-area")).replace(/\s/g, " "), "100,000 ft²", "a full tank");
    assert.equal((await cell(page, "mark-5-area")).replace(/\s/g, " "), "50,000 ft²", "half of it");
    assert.equal((await cell(page, "product-1-fill-1")).replace(/\s/g, " "), "1 gal 22 fl oz", "150 fl oz");
    const card = await page.locator(".tk-card").innerText();
    for (const text of ["Dana Quill", "Truck 2", "Turf gun", "Green", "60 psi", "Apr 14, 2026", "July 13, 2026", "The label is the law"]) {
      assert.ok(card.replace(/\u00a0/g, " ").includes(text), `${text} is on the card`);
    }
    assert.doesNotMatch(card, /Invented/);
    await page.fill('[name="product.1.rate"]', "2");
    assert.match(await page.locator(".tk-card .tk-caution--danger").innerText(), /above the label maximum of 1\.8/);
    assert.equal(await page.locator('[data-result="product-1-fill-1"]').count(), 0, "and no amount is given");
  });
});

test("an added run starts empty, so that none is counted twice", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await write(page, DANA);
    await page.locator('[data-do="add"][data-group="timed"]').click();
    assert.equal(await page.inputValue('[name="timed.2.volume"]'), "");
    assert.match(await cell(page, "application-rate"), /^Puts down\s+2\s/, "and does not stand in the way");
  });
});

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

test("operators stand side by side, and one is renamed by editing", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await keep(page, LEE);
    const table = (await page.locator(".tk-cards__table").innerText()).replace(/\u00a0/g, " ");
    assert.match(table, /2 ± 0\.0\d+\s/, "with its uncertainty");
    for (const text of ["2.5 ± 0.0", "10 gal", "12.5 gal", "100,000 ft²", "80,000 ft²"]) {
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
    await page.locator('[data-do="units"]').evaluate(($button) => $button.click());
    assert.match(await page.locator(".tk-cards__table").innerText(), /L\/100\s+m²/, "the table follows the units");
  });
});

test("deleting asks first, in the page", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    await keep(page, DANA);
    await keep(page, LEE);
    await page.getByRole("button", { name: "Delete: Dana Quill" }).click();
    assert.match(await page.locator('[data-role="sure"]').innerText(), /Delete the card of Dana Quill\?/);
    assert.equal(await page.evaluate(() => document.activeElement.dataset.chore), "stay", "the safe answer has the focus");
    await chore(page, "stay").click();
    assert.equal(await rows(page).count(), 2);
    await page.getByRole("button", { name: "Delete: Dana Quill" }).click();
    await chore(page, "drop").click();
    assert.deepEqual(await page.locator(".tk-cards__name").allInnerTexts(), ["Lee Marsh"]);
    assert.equal(await said(page, "list"), "The card of Dana Quill is deleted.");
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
    assert.match(await said(page, "sheet"), /invented example/);
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
    assert.match(await said(page, "sheet"), /not whole/);
    assert.match(await page.locator(".tk-answer__errors").innerText(), /Tank capacity: nothing given/);
    await page.fill('[name="date"]', "2026-02-30");
    assert.match(await page.locator('[data-name="date"] .tk-field__error').innerText(), /no such day/);
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
    assert.equal(await readIn(page, "again.json", first.text), "Read in: 2 new, 0 kept already.");
    assert.equal((await exported(page, to)).text, first.text, "byte for byte");
    assert.equal(await readIn(page, "again.json", first.text), "Read in: 0 new, 2 kept already.");
    assert.equal(await page.evaluate(() => window.ran), undefined, "markup in a name never runs");
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
  await open(server.url(PAGE), async (page) => {
    await ready(page);
    await keep(page, { ...DANA, operator: "Cy Bell" });
    assert.equal(await readIn(page, "merge.json", first.text), "Read in: 2 new, 0 kept already.");
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
      ["newer.json", "{\"format\":\"tankside-cards\",\"version\":9,\"cards\":[]}", /newer edition/],
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

test("a kept text that cannot be read is put aside, not lost", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await ready(page);
    const key = await page.evaluate(() => `tankside.${document.documentElement.dataset.course}.cards`);
    await page.evaluate((key) => localStorage.setItem(key, "{broken"), key);
    await page.reload();
    await ready(page);
    assert.ok(await page.locator('[data-role="unread"]').isVisible());
    await keep(page, DANA);
    assert.equal(await page.evaluate((key) => localStorage.getItem(`${key}.aside`), key), "{broken");
  });
});

test("where the browser keeps nothing, cards serve until the page is left and can be saved to a file", async () => {
  await open("about:blank", async (page) => {
    await page.addInitScript(() => {
      Object.defineProperty(window, "localStorage", { get() { throw new DOMException("denied", "SecurityError"); } });
    });
    await page.goto(diskUrl(PAGE));
    await ready(page);
    assert.ok(await page.locator('[data-role="not-kept"]').isVisible(), "it is said plainly");
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
    assert.equal(await said(page, "sheet"), "The card of Dana Quill is kept.");
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

test("without scripts the invented example is whole", async () => {
  await open(
    diskUrl(PAGE),
    async (page) => {
      const card = (await page.locator(".tk-card").innerText()).replace(/\s+/g, " ");
      for (const text of ["Invented example", "2.01", "87.7 gal/acre", "10.1 gal", "99,300 ft²", "1 gal 21 fl oz", "July 13, 2026"]) {
        assert.ok(card.includes(text), `${text} is on the card`);
      }
      assert.ok(await page.locator('[name="timed.1.volume"]').isVisible(), "with its numbers");
      assert.ok(await page.locator("noscript").innerText(), "and the reason why nothing answers");
      assert.equal(await page.locator("[data-chore]:visible").count(), 0, "no button that would do nothing");
      await page.locator(".tk-card-working > summary").click();
      assert.ok((await page.locator(".tk-step:visible").count()) > 5, "and its working");
    },
    { javaScriptEnabled: false, viewport: PHONE },
  );
});

describe("keeps the accessibility rules, and the width of the screen", () => {
  for (const colorScheme of ["light", "dark"]) {
    for (const viewport of [PHONE, DESK]) {
      test(`${colorScheme} at ${viewport.width} px`, async () => {
        await open(
          diskUrl(PAGE),
          async (page) => {
            await ready(page);
            const check = async (state) => {
              assert.deepEqual(await violations(page), [], state);
              const wide = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
              assert.ok(wide <= 0, `${state}: ${wide} px too wide`);
            };
            await check("the example");
            await chore(page, "new").click();
            await check("an empty card");
            await keep(page, { ...DANA, date: "2020-01-01", operator: "W".repeat(60) });
            await chore(page, "edit").click();
            await addProduct(page, 1, "P".repeat(60), "2", "1");
            await check("a filled card that has run out, with a danger");
            await chore(page, "keep").click();
            await page.locator('[data-chore="ask"]').click();
            await page.locator(".tk-card-working > summary").click();
            await check("a kept card, its working open, deleting asked about");
          },
          { colorScheme, viewport, reducedMotion: "reduce" },
        );
      });
    }
  }
});

describe("on paper", () => {
  /** Page count, and the words without the spaces, which are the printer's. */
  async function printed(page, options = {}) {
    const file = join(folder, "card.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true, ...options });
    const words = spawnSync("pdftotext", ["-raw", file, "-"], { encoding: "utf8" }).stdout;
    const pages = Number(spawnSync("pdfinfo", [file], { encoding: "utf8" }).stdout.match(/^Pages:\s+(\d+)/m)[1]);
    return { pages, words: words.normalize("NFKC").replace(/\s+/g, "") };
  }
  const squeeze = (text) => text.normalize("NFKC").replace(/\s+/g, "");

  for (const format of ["Letter", "A4"]) {
    test(`a card with six products is one sheet of ${format}, with nothing cut off`, async () => {
      await open(diskUrl(PAGE), async (page) => {
        await ready(page);
        await write(page, { ...DANA, operator: "Wilhelmina van der Westhuizen-Featherstonehaugh", rig: "Truck 12, the long one with the second reel", tip: "Green, 3 gal/min at 60 psi", tank: "187.5" });
        for (let number = 1; number <= 6; number += 1) {
          await addProduct(page, number, `Product ${number} with a long name, as labels have them`, "1.37", number === 6 ? "1" : "");
        }
        await chore(page, "keep").click();
        await page.evaluate(() => { window.print = () => {}; });
        await chore(page, "print").click();
        const { pages, words } = await printed(page, { format });
        assert.equal(pages, 1);
        const texts = await page.locator(".tk-card :is(h2, dd, th, td, .tk-card__by, .tk-card__law, .tk-caution__text)").allInnerTexts();
        for (const text of texts) assert.ok(words.includes(squeeze(text)), `${text} is on paper`);
        assert.ok(!words.includes(squeeze("Keptcards")) && !words.includes(squeeze("Volume caught")), "and nothing but the card");
        await page.emulateMedia({ media: "print" });
        const cut = await page.locator(".tk-card, .tk-card *").evaluateAll(($all) =>
          $all.filter(($one) => $one.scrollWidth > $one.clientWidth + 1 && getComputedStyle($one).display !== "inline").map(($one) => $one.className));
        assert.deepEqual(cut, [], "nothing is wider than its place");
      });
    });
  }

  test("all cards are printed together, the table first", async () => {
    await open(diskUrl(PAGE), async (page) => {
      await ready(page);
      for (const operator of ["Ada", "Bo", "Cy"]) await keep(page, { ...DANA, operator });
      await page.evaluate(() => { window.print = () => { window.asked = (window.asked ?? 0) + 1; }; });
      await chore(page, "print-all").click();
      assert.equal(await page.evaluate(() => window.asked), 1);
      const { pages, words } = await printed(page);
      for (const operator of ["Ada", "Bo", "Cy"]) {
        assert.equal(words.split(`Calibrationcard${operator}Truck`).length - 1, 1, `${operator}'s card, once`);
      }
      const table = words.indexOf("Keptcards");
      assert.ok(0 <= table && table < words.indexOf("CalibrationcardAda"), "the table before them");
      assert.ok(pages <= 3, `${pages} pages`);
    });
  });
});
