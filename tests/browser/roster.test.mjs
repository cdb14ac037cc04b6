// What `mark` and `sheet` write, opened from a disk: thirty made-up records as a roster, and a quiz on paper.

import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { keepsTheRules } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { publish, runExample } from "./site.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PROGRAM = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");
const folder = mkdtempSync(join(tmpdir(), "tankside-desk-"));
after(() => rmSync(folder, { recursive: true, force: true }));
const url = (name) => pathToFileURL(join(folder, name)).href;

before(() => {
  mkdirSync(join(folder, "records"));
  runExample("training_records", [join(folder, "records"), "30"], { stdio: ["ignore", "ignore", "inherit"] });
  publish(join(folder, "tankside-site"));
  execFileSync(PROGRAM, ["mark", "records"], { cwd: folder, stdio: "pipe" });
  execFileSync(PROGRAM, ["sheet", "check-tank", "--copies", "4", "--seed", "5", "--to", "paper"], { cwd: folder, stdio: "pipe" });
});

describe("no rule is broken and nothing too wide, in light and dark, on a phone and at a desk", () => {
  for (const name of ["tankside-roster/roster.html", "paper/sheet.html", "paper/key.html"]) {
    test(name, () => open(url(name), keepsTheRules, { viewport: PHONE }));
  }
});

test("the roster says what to teach again, with links to lessons of the site that is there", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    assert.match(await page.locator("h1").innerText(), /^\d+\sof\s30\sready for the field$/);
    const teach = page.locator(".tk-desk__teach > li");
    assert.equal(await teach.count(), 3);
    for (const row of await teach.all()) {
      assert.match(await row.innerText(), /\d+\s(people|person): /);
      const href = await row.locator("a").getAttribute("href");
      assert.match(href, /^\.\.\/tankside-site\/(lessons|work)\/[a-z-]+\.html$/);
      assert.ok(existsSync(join(folder, "tankside-roster", href)), href);
    }
    await teach.first().locator("a").click();
    assert.equal(await page.locator("h1").count(), 1);
  });
});

test("the roster is read with the keyboard alone: its wide tables scroll when they have the focus", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const table = page.locator(".tk-desk__wide .tk-scroll").first();
    for (let press = 0; press < 60 && !(await table.evaluate(($one) => $one === document.activeElement)); press += 1) await page.keyboard.press("Tab");
    const before = await table.evaluate(($one) => $one.scrollLeft);
    for (let press = 0; press < 5; press += 1) await page.keyboard.press("ArrowRight");
    await page.waitForFunction(([$one, before]) => $one.scrollLeft > before, [await table.elementHandle(), before]);
  }, { viewport: PHONE });
});

test("a long table scrolls by itself under its head, nothing of it is cut off, and the whole roster is a few screens", async () => {
  for (const viewport of [{ width: 1280, height: 900 }, PHONE]) {
    await open(url("tankside-roster/roster.html"), async (page) => {
      const height = await page.evaluate(() => document.documentElement.scrollHeight);
      // A phone shows each of the thirty with the reasons under the name, and what was written where no mistake fits.
      assert.ok(height < 13 * viewport.height, `${height} px at ${viewport.width}`);
      const people = page.locator(".tk-scroll").first();
      await people.evaluate(($one) => { $one.scrollTop = 1e6; $one.scrollLeft = 1e6; });
      const [head, box] = [await people.locator("thead th").first().boundingBox(), await people.boundingBox()];
      assert.ok(Math.abs(head.y - box.y) < 4, "the head stays in sight");
      const last = await people.locator("tbody tr:last-child td:last-child").boundingBox();
      assert.ok(last.x + last.width <= box.x + box.width + 1 && last.width > 200, "the last column is read whole");
    }, { viewport });
  }
});

test("on paper thirty people with all that they answered wrong take fourteen sheets at most, and no table is cut off", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const file = join(folder, "roster.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true });
    const told = spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    assert.equal(told.status, 0, told.stderr);
    assert.ok(told.stdout.split("\f").length - 1 <= 14, `${told.stdout.split("\f").length - 1} pages`);
    assert.equal(told.stdout.match(/Answered wrong: \d/g).length, await page.locator("#not-yet ~ ul > li > details, #ready ~ ul > li > details").count());
    await page.emulateMedia({ media: "print" });
    // A sheet of letter paper on its side, without its margins.
    await page.setViewportSize({ width: 980, height: 800 });
    const wide = await page.locator(".tk-desk__table").evaluateAll(($all) => $all.map(($one) => $one.getBoundingClientRect().right - innerWidth));
    for (const over of wide) assert.ok(over <= 0, `${over} px too wide`);
  });
});

test("at a desk words, lists and tables begin at one edge, and those who are not ready yet take two columns", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const edges = await page.locator(".tk-desk h1, .tk-desk h2, .tk-desk__wide .tk-scroll").evaluateAll(($all) => [...new Set($all.map(($one) => Math.round($one.getBoundingClientRect().left)))]);
    assert.equal(edges.length, 1, JSON.stringify(edges));
    const columns = await page.locator('[aria-labelledby="not-yet"] > ul > li').evaluateAll(($all) => new Set($all.map(($one) => Math.round($one.getBoundingClientRect().left))).size);
    assert.equal(columns, 2);
  });
});

test("at a desk every topic is in sight beside the others: no table scrolls sideways, and no word is broken", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const wide = await page.locator(".tk-scroll").evaluateAll(($all) => $all.map(($one) => $one.scrollWidth - $one.clientWidth));
    assert.deepEqual(wide, wide.map(() => 0));
    const lines = await page.locator(".tk-desk__people thead th").evaluateAll(($all) => $all.map(($one) => {
      const range = document.createRange();
      range.selectNodeContents($one);
      return [$one.textContent.trim().split(/\s+/).length, new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size];
    }));
    assert.ok(lines.length > 12, `${lines.length} columns`);
    for (const [words, rows] of lines) assert.ok(rows <= words, `${words} words on ${rows} lines`);
  }, { viewport: { width: 1280, height: 800 } });
});

test("the bar of a topic is as dark as its answers were wrong, and the words agree", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const bars = await page.locator(".tk-desk__people .tk-desk__bar").evaluateAll(($bars) => $bars.map(($bar) => ({
      wrong: $bar.querySelector("rect").getAttribute("class"), right: Number($bar.querySelector("rect + rect").getAttribute("width")), cell: $bar.parentElement.innerText, bold: Boolean($bar.parentElement.querySelector("strong")),
    })));
    assert.ok(bars.length > 100 && bars.some((bar) => bar.bold) && bars.some((bar) => !bar.bold));
    for (const bar of bars) {
      assert.equal(bar.wrong, "tk-desk__wrong");
      assert.equal(bar.bold, bar.right < 90, bar.cell);
      assert.ok(Math.abs(bar.right - Number.parseFloat(bar.cell)) < 1, bar.cell);
    }
    assert.deepEqual(await page.locator("#slips ~ .tk-scroll thead th").first().innerText(), "Mistake, as the page says it");
    assert.ok(!(await page.locator("#items ~ .tk-scroll").innerText()).includes("…"), "questions have numbers");
  });
});

test("the roster wears the company's colors, and a sheet its name", async () => {
  execFileSync(PROGRAM, ["start", "own", "--company", "Invented Lawns", "--no-questions"], { cwd: folder, stdio: "pipe" });
  const course = join(folder, "own", "course.yaml");
  writeFileSync(course, `${readFileSync(course, "utf8").replace(/^colors:\n(?: .*\n)+/m, "")}\ncolors:\n  band: "#2d4a1e"\n`);
  const bank = readdirSync(join(folder, "own", "questions"))[0].replace(".yaml", "");
  execFileSync(PROGRAM, ["sheet", bank, "--course", "own", "--to", "own-paper"], { cwd: folder, stdio: "pipe" });
  writeFileSync(join(folder, "typed.csv"), readFileSync(join(folder, "own-paper", "answers.csv"), "utf8").replace(/1,1,([A-Z]{4}),,,/, "1,1,$1,Ada,,9 gal"));
  execFileSync(PROGRAM, ["mark", "typed.csv", "--course", "own", "--to", "own-roster"], { cwd: folder, stdio: "pipe" });
  await open(url("own-roster/roster.html"), async (page) => {
    const band = await page.locator(".tk-desk__head").evaluate(($head) => getComputedStyle($head).backgroundColor);
    assert.equal(band, "rgb(45, 74, 30)");
  });
  await open(url("own-paper/sheet.html"), async (page) => assert.match(await page.locator(".tk-copy thead").first().innerText(), /Invented Lawns/));
});

/** The words of each page of a PDF. */
function pdfPages(file) {
  const { stdout } = spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
  return stdout.split("\f").filter((page) => page.trim());
}

test("on paper every page of a copy carries its number, and a copy begins on a page of its own", async () => {
  await open(url("paper/sheet.html"), async (page) => {
    const file = join(folder, "sheet.pdf");
    await page.pdf({ path: file, format: "Letter" });
    const pages = pdfPages(file);
    const numbers = pages.map((page) => page.match(/Copy (\d)/)?.[1]);
    assert.ok(pages.length >= 4 && numbers.every(Boolean), `${numbers}`);
    assert.deepEqual([...new Set(numbers)], ["1", "2", "3", "4"]);
    for (const one of pages) assert.equal(new Set(one.match(/Copy \d/g)).size, 1, "no page has two copies");
  });
});

test("a copy of sixteen questions is one sheet, printed on both sides, with room to work and to write", async () => {
  execFileSync(PROGRAM, ["sheet", "first-week", "--copies", "2", "--to", "long"], { cwd: folder, stdio: "pipe" });
  for (const format of ["Letter", "A4"]) {
    await open(url("long/sheet.html"), async (page) => {
      const file = join(folder, "long.pdf");
      await page.pdf({ path: file, format });
      const pages = pdfPages(file);
      assert.deepEqual(pages.map((page) => page.match(/Copy (\d)/)?.[1]), ["1", "1", "2", "2"], format);
      for (const one of pages) assert.ok(/Name +Date/.test(one) && /stamp [A-Z]{4}/.test(one), "every side says whose it is");
    });
  }
  await open(url("long/sheet.html"), async (page) => {
    await page.emulateMedia({ media: "print" });
    const mm = 96 / 25.4;
    const boxes = (part) => page.locator(part).evaluateAll(($all) => $all.map(($one) => $one.getBoundingClientRect()).map(({ width, height }) => ({ width, height })));
    for (const room of await boxes(".tk-copy__room")) assert.ok(room.height >= 14 * mm && room.width >= 75 * mm, JSON.stringify(room));
    for (const line of await boxes(".tk-copy__room + .tk-copy__line")) assert.ok(line.height >= 7 * mm && line.width >= 75 * mm, JSON.stringify(line));
    const size = await page.locator(".tk-copy__question p").first().evaluate(($one) => parseFloat(getComputedStyle($one).fontSize));
    assert.ok(size >= 13, `${size} px of text`);
  }, { viewport: { width: 710, height: 1056 } });
  await open(url("long/key.html"), async (page) => {
    const file = join(folder, "long-key.pdf");
    await page.pdf({ path: file, format: "Letter" });
    assert.ok(pdfPages(file).length <= 6, "a copy's key takes three pages at most");
  });
});

test("on paper the line for a part is clear of the next part", async () => {
  await open(url("paper/sheet.html"), async (page) => {
    const [line, next] = [page.locator(".tk-copy__parts li .tk-copy__line").first(), page.locator(".tk-copy__parts li").nth(1)];
    const [one, other] = [await line.boundingBox(), await next.boundingBox()];
    assert.ok(other.y - (one.y + one.height) >= 8, `${other.y - one.y - one.height} px`);
  });
});

test("on paper the roster is whole: no table is cut off at the edge", async () => {
  await open(url("tankside-roster/roster.html"), async (page) => {
    const file = join(folder, "roster.pdf");
    await page.pdf({ path: file, preferCSSPageSize: true });
    const words = pdfPages(file).join("\n");
    assert.ok(words.includes("Teach this again on Monday") && words.includes("Learner 29"), "everybody is on it");
    await page.setViewportSize({ width: 1056, height: 816 });
    await page.emulateMedia({ media: "print" });
    const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    assert.ok(wide <= room, `${wide} px on paper of ${room}`);
  });
});
