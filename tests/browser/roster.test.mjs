// What `mark` and `sheet` write, opened from a disk: thirty made-up records as a roster, and a quiz on paper.

import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
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
    assert.match(await page.locator("h1").innerText(), /^\d+ of 30 ready for the field$/);
    const teach = page.locator(".tk-desk__teach > li");
    assert.equal(await teach.count(), 3);
    for (const row of await teach.all()) {
      assert.match(await row.innerText(), /\d+ (people|person): /);
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
    for (let press = 0; press < 20 && !(await table.evaluate(($one) => $one === document.activeElement)); press += 1) await page.keyboard.press("Tab");
    const before = await table.evaluate(($one) => $one.scrollLeft);
    for (let press = 0; press < 5; press += 1) await page.keyboard.press("ArrowRight");
    await page.waitForFunction(([$one, before]) => $one.scrollLeft > before, [await table.elementHandle(), before]);
  }, { viewport: PHONE });
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
