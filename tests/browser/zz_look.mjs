import { open, PHONE, DESK } from "./browser.mjs";
import { violations } from "./axe.mjs";
import { test } from "node:test";
const S="file:///tmp/learn-site/";
test("look", async () => {
  await open(S+"lessons/catch-test.html", async (page) => {
    const quiz = page.locator('[data-part="quiz"][data-started]');
    await quiz.waitFor();
    await quiz.scrollIntoViewIfNeeded();
    await quiz.locator('[data-role="start"] button').click();
    await page.screenshot({path:"/tmp/l1.png"});
    await quiz.locator(".tk-question__entry").first().fill("3 gal/min");
    await quiz.locator('[data-do="check"]').click();
    await page.screenshot({path:"/tmp/l2.png"});
    console.log(await quiz.innerText());
    await quiz.locator(".tk-question__entry").first().fill("33 gal/min");
    await quiz.locator('[data-do="check"]').click();
    console.log(await quiz.innerText());
    console.log(await violations(page));
    await page.reload(); await quiz.waitFor();
    console.log("reload:", await quiz.locator('[data-role="start"]').innerText());
    await page.goto(S+"index.html");
    await page.screenshot({path:"/tmp/l3.png"});
    console.log(await page.locator('[data-role="here"]').innerText());
    console.log(await violations(page));
    for (const p of ["drill","exam","progress"]) {
      await page.goto(S+p+".html"); await page.waitForTimeout(500);
      await page.screenshot({path:`/tmp/l-${p}.png`, fullPage:true});
      console.log(p, await violations(page));
    }
  }, {viewport: PHONE, reducedMotion:"reduce"});
});
