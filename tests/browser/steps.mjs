// Step by step practice as a learner goes through it: right answers to blanks, reasons and slips.

/** Remembers which problem the page shows, so that a test can ask the core about the same. */
export function listening(page) {
  return page.addInitScript(() => {
    const write = JSON.stringify;
    JSON.stringify = (value, ...more) => {
      if (value?.do === "faded" || value?.do === "slip") window.lastAsked = { question: value.question, draw: value.draw };
      return write(value, ...more);
    };
  });
}

/** The lines of the right working of the problem on the stage. */
export function rightLines(page) {
  return page.evaluate(() => {
    const { question, draw } = window.lastAsked;
    const asked = { question, draw, blanks: 0, seed: 1 };
    const { html } = JSON.parse(wasm_bindgen.practice(JSON.stringify({ ...asked, do: "faded" })));
    return [...new DOMParser().parseFromString(html, "text/html").querySelectorAll(".tk-step")].map(($step) => $step.textContent.replace(/\s+/g, " ").trim());
  });
}

/** A line's figure with its unit. */
export const figureOf = (line) => line.match(/.*[=≈]\s*([−\d][\d,.]*(?:\s[^=≈]+?)?)$/)[1];

/** Fills every blank step correctly. */
export async function fillSteps(page) {
  const lines = await rightLines(page);
  for (const $entry of await page.locator('[data-role="stage"] input[data-step]').all()) await $entry.fill(figureOf(lines[Number(await $entry.getAttribute("data-step"))]));
}

/** Chooses the reason for a step, where one is asked. */
export async function chooseWhy(page) {
  const why = page.locator('[data-role="stage"] .tk-why');
  if (await why.count()) await why.locator(`input[value="${await why.getAttribute("data-right")}"]`).check();
}
