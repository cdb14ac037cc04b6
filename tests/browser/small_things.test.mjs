// Small things that a reader of a published page stumbles over. Each has its row: what no page says, or what one must
// say.

import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { LEE, keep, ready as cardReady } from "./card.mjs";
import { PAGES, diskUrl, publish, readPage } from "./site.mjs";

/** Inside a line: what marks a word and does not split it. */
const INLINE = /<\/?(?:a|abbr|b|code|em|i|kbd|mn|mo|mi|mtext|mrow|mfrac|ms[a-z]+|math|s|small|span|strong|sub|sup|var)\b[^>]*>/g;

/** What a page says, as it would be copied: no scripts, no drawings' coordinates, each block a line. */
function said(markup) {
  return markup
    .replace(/<(script|style)\b[^]*?<\/\1>/g, "")
    .replaceAll('<span class="tk-spoken">', "<p>")
    .replace(INLINE, "")
    .replace(/<[^>]+>/g, "\n")
    .replace(/&#(?:x([0-9a-f]+)|(\d+));/gi, (_, hex, ten) => String.fromCodePoint(hex ? parseInt(hex, 16) : Number(ten)))
    .replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&quot;", '"').replaceAll("&amp;", "&").replaceAll("\u00a0", " ")
    .replace(/\s*\n\s*/g, "\n");
}

/** What no page says: why, and what it looks like. */
const NEVER = [
  ["asterisks of Markdown", /(?<![\w)])\*{1,2}[A-Za-z]|[A-Za-z]\*{1,2}(?![\w*])/],
  ["a sign run into a word: times4 divided", /\b(?:times|divided by|plus|minus)\d/],
  ["an area without its small two: 1000 ft2", /\b(?:ft|yd|mi|m|cm|in)2\b/],
  ["a number of four digits grouped beside 43,560: 1,000 ft²", /(?<![\d,.])\d,\d{3}(?![\d,]) (?:ft²|m²)/],
  ["a label's way beside ours: 1000 sq ft", /\d sq\.? ?ft\b/],
  ["a square foot in two pieces: ft·ft", /(?:ft|in|yd|m)[·⋅](?:ft|in|yd|m)\b/],
  ["one of many: 1 questions, 1 right answers", /(?<![\d.,/])1 (?:questions|right answers|answers|minutes|lessons)\b/],
  ["British words beside American ones", /\b(?:centre|centred|litres?|neighbours?|colours?|grey)\b/i],
  ["per area, for every area", /\/1000 ft² for every 1000 ft²/],
  ["a catch of 300 gallons in a jug: 38,400 fl oz", /38,400 fl oz/],
  ["a lesson denied", /No lesson of this course works with it/],
  ["a question for a name: Do they agree? is", /\? is\b/],
  ["a wish joined by is: What to do is", /What to do is\b/],
  ["a tank read to a tenth: 121.6 gal", /\b121\.6 gal\b/],
  ["signs that no crew writes: min(16 gal; 200 gal), ⌈1.65⌉", /[⌈⌉⌊⌋]|\bmin\(/],
  ["π to eleven places", /3\.14159/],
  ["what a crew elsewhere would call it", /\b(?:measuring (?:jug|cylinder)|part tanks|topp?(?:ed|ing)?[ -]up|see the working)\b/i],
  ["a danger that begins small", /\bDanger [a-z]/],
  ["a typewriter’s apostrophe beside a printer’s", /[A-Za-z]'[a-z]/],
  ["floating noise", /\d\.\d*(?:0000000|9999999)\d/],
];

/** Names of units in other spellings are listed there. */
const SPELLINGS = new Set(["units.html"]);
/** What the row about British words and labels' ways would find there is a spelling that may be typed. */
const MAY_SPELL = new Set(["British words beside American ones", "a label's way beside ours: 1000 sq ft", "an area without its small two: 1000 ft2", "a number of four digits grouped beside 43,560: 1,000 ft²"]);

describe("no page says again", () => {
  for (const [what, pattern] of NEVER) {
    test(what, () => {
      for (const page of PAGES) {
        if (SPELLINGS.has(page) && MAY_SPELL.has(what)) continue;
        const line = said(readPage(page)).split("\n").find((line) => pattern.test(line));
        assert.equal(line, undefined, page);
      }
    });
  }
});

test("the rows find what they are for", () => {
  const once = ["what *should* land", "80 feet times4 divided by", "1000 ft2", "1,000 ft²", "1000 sq ft", "8000ft·ft", "1 questions", "in the centre", "45.3 s/1000 ft² for every 1000 ft²", "16 fl oz to 38,400 fl oz", "No lesson of this course works with it.", "Do they agree? is only one run.", "What to do is good.", "121.6 gal", "⌈1.65⌉ = 2", "3.14159265359", "Part tanks", "Danger the product: 1.8 fl oz", "Wanda's card", "3.7000000001"];
  assert.equal(once.length, NEVER.length);
  NEVER.forEach(([what, pattern], row) => assert.match(once[row], pattern, what));
});

describe("a calculator's page", () => {
  for (const page of PAGES.filter((page) => page.startsWith("work/"))) {
    test(`${page} lists the lessons that work with it, all and no other`, () => {
      const id = page.slice("work/".length, -".html".length);
      const uses = PAGES.filter((lesson) => lesson.startsWith("lessons/") && readPage(lesson).includes(`data-calculator="${id}"`)).sort();
      const [, list = ""] = readPage(page).split('id="lessons"');
      const listed = [...list.split("</ul>")[0].matchAll(/href="\.\.\/(lessons\/[^"#]+)/g)].map(([, lesson]) => lesson).sort();
      assert.deepEqual(listed, uses);
    });
  }
});

test("the usage check says a pace only with the way it came from, and one that is walked", () => {
  const page = said(readPage("work/usage-check.html"));
  const pace = Number(page.match(/Walking pace\n+([\d.]+) mph/)[1]);
  assert.ok(pace >= 2 && pace <= 4, `${pace} mph`);
  assert.match(page, /Distance walked/, "and the steps say from what");
  const [, shelf = ""] = readPage("index.html").split('id="shelf-calibrate"');
  assert.match(shelf.split('id="shelf-')[0], /usage-check\.html/, "it is found where a sprayer is calibrated");
});

test("the usage check has no pace where the spacing of the passes is not known", async () => {
  const numbers = "area=8000+ft2&application-rate=2+gal%2F1000+ft2&volume-used=16+gal&time=7+min&units=us";
  await open(`${diskUrl("work/usage-check.html")}#worked-usage-check?${numbers}`, async (page) => {
    await page.locator('[data-name="usage-check"][data-started]').waitFor();
    const answer = await page.locator('[data-name="usage-check"] [data-part="answer"]').textContent();
    assert.match(answer, /2 gal\/1000 ft²/);
    assert.doesNotMatch(answer, /pace|mph/i);
  });
});

test("the last lesson leads on: to the drill, the mock exam and the learner's progress", async () => {
  const order = [...new Set([...readPage("index.html").matchAll(/href="(lessons\/[^"#]+)/g)].map(([, lesson]) => lesson))];
  const last = order.find((lesson) => !/rel="next"/.test(readPage(lesson)));
  assert.equal(last, "lessons/first-week-check.html");
  await open(diskUrl(last), async (page) => {
    const links = await page.locator(".tk-turn a").evaluateAll((all) => all.map(($a) => $a.getAttribute("href")));
    for (const wanted of ["../drill.html", "../exam.html", "../progress.html"]) assert.ok(links.includes(wanted), wanted);
    await page.locator('.tk-turn a[href="../drill.html"]').click();
    assert.equal(await page.locator("h1").innerText(), "Drill");
  }, { viewport: PHONE });
});

test("the card rounds what a tank treats as the lesson does", async () => {
  // By hand: 200 gal at 2.0139 gal/1000 ft² are 99,309.8 ft², and 50 gal 24,827.4 ft²; to four figures.
  assert.match(said(readPage("card.html")), /Full 200 gal\n+99,310 ft²/);
  assert.match(said(readPage("card.html")), /¼ +50 gal\n+24,830 ft²/);
  await open(`${diskUrl("work/tank-mix.html")}#worked-tank-mix?tank=200+gal&application-rate=2.0139+gal%2F1000+ft2&units=us`, async (page) => {
    await page.locator('[data-name="tank-mix"][data-started]').waitFor();
    const result = (name) => page.locator(`[data-name="tank-mix"] [data-result="${name}"]`).first().textContent();
    assert.match((await result("area-treated")).replaceAll("\u00a0", " "), /99,310 ft²/);
    assert.match((await page.locator('[data-name="tank-mix"] .tk-drawing').first().textContent()).replaceAll("\u00a0", " "), /99,310 ft²/);
  });
  // Ground that was measured is treated whole.
  await open(`${diskUrl("work/tank-mix.html")}#worked-tank-mix?area=12345+ft2&application-rate=2+gal%2F1000+ft2&units=us`, async (page) => {
    await page.locator('[data-name="tank-mix"][data-started]').waitFor();
    const treated = await page.locator('[data-name="tank-mix"] [data-result="area-treated"]').first().textContent();
    assert.match(treated.replaceAll("\u00a0", " "), /12,345 ft²/);
  });
});

describe("the card page of another company", () => {
  const folder = mkdtempSync(join(tmpdir(), "tankside-other-"));
  after(() => rmSync(folder, { recursive: true, force: true }));

  test("shows nobody and nothing of this demo", () => {
    const course = join(folder, "course");
    mkdirSync(join(course, "lessons"), { recursive: true });
    writeFileSync(join(course, "course.yaml"), "id: other\ntitle: Other\ncompany: Example Lawns\nlessons: [first]\n");
    writeFileSync(join(course, "lessons/first.md"), "---\ntitle: First\nsummary: One lesson.\n---\n\nWater goes first.\n");
    const site = join(folder, "site");
    publish(site, course);
    // Whoever has a first and a last name, or signs, in the demo's own words.
    const people = ["Hobnail", "Plum", "Odessa", "Osterby", "Quibblewort", "Wren", "Tolliver"];
    const pages = readdirSync(site, { recursive: true }).filter((file) => file.endsWith(".html"));
    assert.ok(pages.includes("card.html"));
    for (const page of pages) {
      const words = said(readFileSync(join(site, page), "utf8"));
      for (const one of people) assert.ok(!words.includes(one), `${one} in ${page}`);
    }
  });
});

test("on a phone every button of a card is whole and in reach, whatever the card is", async () => {
  await open(diskUrl("card.html"), async (page) => {
    await cardReady(page);
    const inReach = async (when, wanted) => {
      const bar = await page.locator('[data-role="tools"]').boundingBox();
      assert.ok(bar.y + bar.height <= PHONE.height && bar.height <= PHONE.height / 4, `${when}: ${JSON.stringify(bar)}`);
      const buttons = page.locator('[data-role="tools"] button:visible');
      const names = [];
      for (const button of await buttons.all()) {
        const box = await button.boundingBox();
        names.push((await button.innerText()).trim());
        assert.ok(box.x >= 0 && box.x + box.width <= PHONE.width && box.height >= 44, `${when}: ${names.at(-1)} ${JSON.stringify(box)}`);
      }
      assert.deepEqual(names, wanted, when);
    };
    await inReach("the example", ["Numbers", "Save card", "Print card"]);
    await keep(page, LEE);
    await page.locator('[data-chore="edit"]').click();
    await inReach("a card that is changed", ["Numbers", "Save card", "Save as new"]);
  }, { viewport: PHONE, reducedMotion: "reduce" });
});

test("on paper an example shows what was put in before what follows from it", async () => {
  await open(diskUrl("lessons/application-rate.html"), async (page) => {
    await page.emulateMedia({ media: "print" });
    const top = (part) => page.locator(`.tk-worked--sentence ${part}`).first().evaluate(($part) => $part.getBoundingClientRect().top);
    const [title, form, answer] = [await top(".tk-worked__title"), await top('[data-part="form"]'), await top('[data-part="answer"]')];
    assert.ok(title < form && form < answer, `${title} ${form} ${answer}`);
  });
});

test("a phone keeps the ways and the search on the first page after the first visit", async () => {
  await open(diskUrl("index.html"), async (page) => {
    await page.evaluate(() => { document.documentElement.dataset.here = "yes"; });
    const names = await page.locator(".tk-cover__ways > :visible").allInnerTexts();
    assert.deepEqual(names.map((name) => name.trim()), ["Lessons", "Work it out", "Drill", "Mock exam", "Cards", "Search"]);
  }, { viewport: PHONE });
});

test("a telephone number is one link on one line, and a bed is drawn in its block", async () => {
  await open(diskUrl("lessons/before-you-start.html"), async (page) => {
    const number = page.locator('.tk-caution a[href="tel:+18002221222"]');
    assert.equal(await number.evaluate(($link) => $link.getClientRects().length), 1);
  }, { viewport: PHONE });
  await open(diskUrl("lessons/swath-timing.html"), async (page) => {
    assert.match(await page.locator('[data-name="back-yard"] svg').first().textContent(), /− 12 ft × 8 ft/);
  });
});

test("what a column of rows offers is read whole in it", async () => {
  const cut = () => [...document.querySelectorAll(".tk-rows select")].filter(($select) => $select.offsetParent).flatMap(($select) => {
    const style = getComputedStyle($select);
    const ink = document.createElement("canvas").getContext("2d");
    ink.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const words = $select.selectedOptions[0].textContent.trim();
    const room = $select.clientWidth - parseFloat(style.paddingInlineStart) - parseFloat(style.paddingInlineEnd) - 16;
    const needs = ink.measureText(words).width + words.length * (parseFloat(style.letterSpacing) || 0);
    return needs > room ? [`${words}: ${needs} in ${room}`] : [];
  });
  for (const [path, viewport] of [["work/lawn-area.html", PHONE], ["work/spreader.html", PHONE], ["work/spreader.html", undefined]]) {
    await open(diskUrl(path), async (page) => assert.deepEqual(await page.evaluate(cut), [], path), viewport ? { viewport } : {});
  }
});

test("on a phone a lesson's number keeps one line, the course's name two, and what a lesson is about is large", async () => {
  await open(diskUrl("index.html"), async (page) => {
    const lines = await page.locator(".tk-contents__number").evaluateAll(($numbers) => $numbers.map(($number) => {
      const range = document.createRange();
      range.selectNodeContents($number);
      return range.getClientRects().length;
    }));
    assert.ok(lines.length > 10 && lines.every((number) => number === 1), lines.join(" "));
  }, { viewport: PHONE });
  await open(diskUrl("lessons/a-day-together.html"), async (page) => {
    assert.ok((await page.locator(".tk-top__home").boundingBox()).height <= 45);
    assert.ok(!(await page.textContent("main")).includes("Agreement of the runs"));
  }, { viewport: PHONE });
  await open(diskUrl("lessons/part-tanks.html"), async (page) => {
    const large = page.locator('[data-name="last-lawn"] .tk-result--large');
    assert.match(await large.innerText(), /New mix to make\s+16\.5 gal/);
    await page.locator('[data-name="last-lawn"] [name="area"]').fill("22000");
    await large.getByText("33").waitFor();
    assert.match(await large.innerText(), /New mix to make\s+33 gal/);
    assert.match(await page.locator('[data-name="top-up"] .tk-answer__sentence').innerText(), /^Quibblewort to add/);
  }, { viewport: PHONE });
});

test("on paper a question's number, of two figures too, is clear of its text, and all steps come before the chains of their units", async () => {
  for (const width of [700, 816]) {
    await open(diskUrl("lessons/first-week-check.html"), async (page) => {
      await page.emulateMedia({ media: "print" });
      const wrong = await page.locator(".tk-quiz__item").evaluateAll(($items) => $items.map(($item, index) => {
        const [item, number] = [getComputedStyle($item), getComputedStyle($item, "::before")].map((one) => (name) => Number.parseFloat(one.getPropertyValue(name)));
        return [index + 1, item("padding-left") - number("left") - number("width")];
      }).filter(([, gap]) => gap < 4));
      assert.deepEqual(wrong, [], `at ${width} px`);
      assert.ok(await page.locator(".tk-quiz__item").count() > 9);
    }, { viewport: { width, height: 1000 } });
  }
  await open(diskUrl("lessons/part-tanks.html"), async (page) => {
    await page.emulateMedia({ media: "print" });
    await page.locator("details").evaluateAll(($all) => { for (const $one of $all) $one.open = true; });
    const [more, chains] = await Promise.all([".tk-fold--more-steps .tk-steps", ".tk-chains"].map((part) => page.locator(part).first().boundingBox()));
    assert.ok(more.height > 0 && more.y + more.height <= chains.y + 1, JSON.stringify([more, chains]));
  });
});

test("at a desk the form of an example that is a sentence is no wider than it can be read across", async () => {
  await open(diskUrl("lessons/tank-mix.html"), async (page) => {
    await page.locator('[data-fold="form"]').first().evaluate(($fold) => { $fold.open = true; });
    const { width } = await page.locator('[data-fold="form"] .tk-form').first().boundingBox();
    assert.ok(width > 300 && width <= 40 * 18, `${width} px`);
  });
});

test("what is read out after a tap is not framed like a field, and is framed after a key", async () => {
  for (const key of [false, true]) {
    await open(diskUrl("reading.html"), async (page) => {
      await page.locator('[data-part="reading"][data-started]').waitFor();
      const thing = page.locator('[data-thing="tape"]');
      if (key) { await page.keyboard.press("Tab"); await thing.focus(); await page.keyboard.press("Enter"); } else await thing.click();
      await page.locator(".tk-round__count").waitFor();
      const [active, style] = await page.evaluate(() => [document.activeElement.className, getComputedStyle(document.activeElement).outlineStyle]);
      assert.equal(active, "tk-round__count");
      assert.equal(style !== "none", key, style);
    }, { viewport: PHONE });
  }
});

test("what is left of an exam is in even rows, so that a phone shows with it how to go on", async () => {
  await open(diskUrl("exam.html"), async (page) => {
    await page.locator('[data-part="exam"][data-started] [data-do="begin-exam"]').click();
    await page.locator('[data-do="hand-in"]').click();
    const widths = await page.locator(".tk-paper__back .tk-button").evaluateAll(($all) => $all.map(($one) => Math.round($one.getBoundingClientRect().width)));
    assert.ok(widths.length > 20 && new Set(widths).size === 1, `${widths}`);
    const { height } = await page.locator(".tk-quiz__sure").boundingBox();
    assert.ok(height < 500, `${height} px`);
  }, { viewport: PHONE });
});

test("what a lesson is about does not end in a word on a line of its own", async () => {
  for (const lesson of ["carrier-volume", "application-rate"]) await open(diskUrl(`lessons/${lesson}.html`), async (page) => {
    const lines = await page.locator(".tk-head__summary").evaluate(($one) => {
      const range = document.createRange();
      range.selectNodeContents($one);
      return [...range.getClientRects()].map((box) => box.width);
    });
    assert.ok(lines.length > 1 && lines.at(-1) > 70, `${lesson}: ${lines}`);
  });
});
