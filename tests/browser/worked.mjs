// What the tests read off a worked example and do to it, by the parts and names of its markup.

import { PAGES, diskUrl, readPage } from "./site.mjs";

/** One worked example of the course, found in the published markup. */
export const EXAMPLES = PAGES.flatMap((page) =>
  [...readPage(page).matchAll(/<section\b[^>]*\bdata-part="worked"[^>]*>/g)].map(([tag]) => ({
    page,
    url: diskUrl(page),
    name: attribute(tag, "data-name"),
    calculator: attribute(tag, "data-calculator"),
    level: Number(attribute(tag, "data-level")),
    show: attribute(tag, "data-show"),
    selector: `[data-part="worked"][data-name="${attribute(tag, "data-name")}"]`,
  })),
);

/** The first example of each calculator. */
export const ONE_OF_EACH = [...new Map(EXAMPLES.toReversed().map((example) => [example.calculator, example])).values()];

function attribute(tag, name) {
  return tag.match(new RegExp(`\\b${name}="([^"]*)"`))?.[1] ?? "";
}

/** Touches the part, as a person would who wants to change it, and waits until the core has taken it over. */
export async function ready(page, selector) {
  await page.locator(selector).dispatchEvent("pointerdown");
  await page.locator(`${selector}[data-started]`).waitFor();
  // What a lesson does not need at once is folded: the form of an example to be read, inputs, and what is under "more".
  await page.locator(`${selector} :is([data-fold="form"], [data-fold="inputs"], [data-fold="more"])`).evaluateAll(($all) => { for (const $fold of $all) $fold.open = true; });
}

/** Waits for a key's answer: it comes with a frame, and what is out of sight a little later. */
export async function whole(page) {
  await page.evaluate(() => new Promise((resolve) => { requestAnimationFrame(() => requestAnimationFrame(resolve)); }));
  await page.waitForFunction(() => !document.querySelector("[aria-busy]"));
}

/** The first field that holds a number; one that may be left out can be empty. */
export function firstNumber(page, selector) {
  return page.locator(`${selector} .tk-field__number:not([value=""])`).first();
}

/** A field's number, as a person wrote it. */
export async function numberIn(field) {
  return Number.parseFloat((await field.inputValue()).replaceAll(",", ""));
}

/** The answer as a person reads it. */
export function answerText(page, selector) {
  return page.locator(`${selector} [data-part="answer"]`).innerText();
}

/** Everything in the form: names and what they hold. */
export function formValues(page, selector) {
  return page.locator(`${selector} [data-part="form"]`).evaluate(($form) =>
    [...$form.elements].filter(($one) => $one.name).map(($one) => [$one.name, $one.value]),
  );
}

/** The numbers of the main results, in order. */
export async function mainNumbers(page, selector) {
  const texts = await page.locator(`${selector} .tk-result--main .tk-result__value`).allInnerTexts();
  return texts.map((text) => text.replace(/\s+/g, " ").trim());
}

/** Replaces what a field holds, with the keyboard. */
export async function type(page, field, text) {
  await field.focus();
  await page.keyboard.press("Control+A");
  await page.keyboard.type(text);
}

/** Waits until the answer no longer reads `before`; fails if it never changes. */
export async function answerChanges(page, selector, before) {
  await page.waitForFunction(
    ([part, text]) => document.querySelector(`${part} [data-part="answer"]`)?.innerText !== text,
    [selector, before],
  );
  // Steps and drawing follow once typing rests; what is clicked meanwhile may move away.
  await whole(page);
}
