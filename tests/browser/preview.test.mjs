// `tankside preview` in a real browser: a saved change is on the page at once, and what a trainer had typed and where
// they had scrolled to stay as they were.

import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { open } from "./browser.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PROGRAM = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");

let folder, course, preview, origin;

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "tankside-preview-"));
  course = join(folder, "course");
  execFileSync(PROGRAM, ["start", course, "--no-questions"], { stdio: ["ignore", "ignore", "inherit"] });
  preview = spawn(PROGRAM, ["preview", course, "--port", "0"], { stdio: ["ignore", "pipe", "ignore"] });
  origin = await new Promise((found, failed) => {
    let said = "";
    preview.stdout.on("data", (bytes) => {
      said += bytes;
      const place = /open {2}(http:\/\/\S+?)\//.exec(said);
      if (place) found(place[1]);
    });
    preview.on("exit", () => failed(new Error(`the preview ended: ${said}`)));
  });
});

after(() => {
  preview?.removeAllListeners("exit");
  preview?.kill();
  rmSync(folder, { recursive: true, force: true });
});

const LESSON = "lessons/our-sprayer.md";
const change = (from, to) => {
  const file = join(course, LESSON);
  const text = readFileSync(file, "utf8");
  assert.ok(text.includes(from), `${LESSON} holds no ${from}`);
  writeFileSync(file, text.replace(from, to));
};

test("a saved change shows at once, and scroll place, typed numbers and open folds stay", async () => {
  await open(`${origin}/lessons/our-sprayer.html`, async (page) => {
    const field = page.locator('[data-part="worked"] input[name="catch.1.volume"]');
    await field.waitFor({ state: "attached" });
    const fold = page.locator("details", { has: field }).first();
    if (await fold.count()) await fold.evaluate((one) => (one.open = true));
    // By hand: 111 and 128 fl oz in a minute are 239/128 gal, 1.87 gal/min; as printed, 126 and 128 are 1.98.
    const shows = (result) =>
      page.waitForFunction((text) => document.querySelector('[data-part="worked"] [data-part="answer"]').textContent.includes(text), result);
    await shows("1.98");
    await field.fill("111");
    await shows("1.87");
    await page.evaluate(() => scrollTo({ top: 300, behavior: "instant" }));
    const place = await page.evaluate(() => scrollY);
    assert.ok(place > 100, `the page scrolls: ${place}`);
    change("A catch test says what the gun puts out", "A catch test says plainly what the gun puts out");
    await page.getByText("says plainly what").waitFor();
    await page.waitForFunction((wanted) => Math.abs(scrollY - wanted) < 3, place);
    assert.equal(await field.inputValue(), "111");
    // The answer follows the number that was typed, as it did before the change.
    await shows("1.87");
  });
});

test("what is wrong lies over the page with its file and line, the last good page stays, and both are gone when it is mended", async () => {
  await open(`${origin}/lessons/our-sprayer.html`, async (page) => {
    const field = page.locator('[data-part="worked"] input[name="catch.1.volume"]');
    await field.waitFor({ state: "attached" });
    change("calculator: catch-test", "calculator: cach-test");
    const desk = page.getByRole("status", { name: "Preview" });
    await desk.getByText(`${LESSON}:`).first().waitFor();
    assert.match(await desk.textContent(), /catch-test/, "the near name is offered");
    assert.ok(await field.count(), "the last good page is there");
    change("A catch test says", `${"A line that no phone shows in one row. ".repeat(4)}A catch test says`);
    change("[the output](figure:our-catch/nozzle-output)", "[the output](figure:our-catch/nozle)");
    await page.setViewportSize({ width: 360, height: 740 });
    change("pooling](term:pooled)", `pooling](term:${"pooled".repeat(20)})`);
    await desk.getByText("pooledpooled").first().waitFor();
    const wide = await desk.locator("pre").evaluateAll((all) => all.map((one) => one.scrollWidth - one.clientWidth));
    assert.deepEqual(wide, wide.map(() => 0), "long lines wrap on a phone");
    change(`pooling](term:${"pooled".repeat(20)})`, "pooling](term:pooled)");
    change("figure:our-catch/nozle", "figure:our-catch/nozzle-output");
    change("calculator: cach-test", "calculator: catch-test");
    await desk.waitFor({ state: "hidden" });
  });
});

test("an answer about an earlier state that comes last is not shown", async () => {
  await open(`${origin}/lessons/our-sprayer.html`, async (page) => {
    const desk = page.getByRole("status", { name: "Preview" });
    // Answers that say what is wrong are held back until one that says it is mended has been read.
    let release, held;
    const gate = new Promise((go) => { release = go; });
    const wrong = new Promise((given) => { held = given; });
    await page.route("**/-/state*", async (route) => {
      const response = await route.fetch();
      if ((await response.text()).includes("cach-test")) {
        held();
        await gate;
      }
      await route.fulfill({ response });
    });
    change("calculator: catch-test", "calculator: cach-test");
    await wrong;
    const read = (said) => page.waitForResponse(async (answer) => answer.url().includes("/-/state") && (await answer.text()).includes("cach-test") === said);
    const mended = read(false);
    change("calculator: cach-test", "calculator: catch-test");
    await mended;
    const late = read(true);
    release();
    await late;
    await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => setTimeout(done)); }));
    assert.ok(await desk.isHidden(), "what was wrong is mended");
  });
});
