// Answering questions in a browser as a learner would, right or wrong, on whatever page asks them.

import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

/** The question on the stage, with what its author wrote. */
export async function asked(part) {
  // What a tap starts waits for the scripts that it needs.
  await part.locator('[data-role="stage"] [data-part="question"]').first().waitFor();
  return part.evaluate(($part) => {
    /* global TANKSIDE_QUESTIONS */
    const $question = $part.querySelector('[data-role="stage"] [data-part="question"]');
    const $bank = $part.querySelector('[data-role="bank"]');
    const all = $bank ? JSON.parse($bank.textContent).banks.flatMap((bank) => bank.questions) : TANKSIDE_QUESTIONS.questions.map((one) => one[2]);
    return {
      id: $question.dataset.question,
      kind: $question.dataset.kind,
      draw: Number($question.dataset.draw),
      authored: all.find((question) => question.id === $question.dataset.question),
    };
  });
}

/** Answers the question on the stage. */
export async function answer(part, question, right) {
  const place = part.locator('[data-role="stage"] [data-part="question"]');
  if (question.authored.parts?.length) {
    // A field for each part; all are answered right, or none is.
    for (const [index, accepted] of (await acceptedValues(part, question)).entries()) {
      await place.locator(`[data-piece="${index}"]`).fill(right ? accepted : farFrom(accepted));
    }
  } else if (question.kind === "number") {
    const accepted = await acceptedValue(part, question);
    await place.locator(".tk-question__entry").fill(right ? accepted : farFrom(accepted));
  } else if (question.kind === "order") {
    await putInOrder(place, question.authored.options.length, right);
  } else {
    for (const $mark of await place.locator('.tk-choice__mark[type="checkbox"]').all()) await $mark.uncheck();
    for (const index of chosen(question, right)) await place.locator(`.tk-choice__mark[value="${index}"]`).check();
  }
}

/** A wrong answer far from the right one, in so many figures that no further one is asked for. */
function farFrom(accepted) {
  const [number, ...rest] = accepted.split(" ");
  // "1 gal 14 fl oz" goes wrong in its first unit.
  const second = rest.findIndex((word) => /^\d/.test(word));
  const unit = second < 0 ? rest : rest.slice(0, second);
  return `${(Number(number.replaceAll(",", "").replace("−", "-")) * 40 + 7.0137).toFixed(4)} ${unit.join(" ")}`;
}

/** Which options to choose. Where every one of several is right, one of them alone is wrong. */
function chosen(question, right) {
  const such = question.authored.options.flatMap((option, index) => ((option.right === true) === right ? [index] : []));
  if (such.length === 0) return [0];
  return question.kind === "one" ? such.slice(0, 1) : such;
}

/** What the core takes for right, learned from what it says to an answer that cannot be. */
export function acceptedValue(part, question) {
  return part.evaluate((_, { authored, draw }) => {
    /* global wasm_bindgen */
    for (const unit of [authored["answer-in"] || "gal", "gal", "gal/min", "s", "ft2", "ft2/min", "ft", "gal/1000 ft2", "%", "lb", "min", "", "fl oz", "mph", "psi", "gal/acre"]) {
      const said = JSON.parse(wasm_bindgen.score(JSON.stringify(authored), draw, JSON.stringify(`987654321 ${unit}`)));
      if (said.right !== false) continue;
      const $said = new DOMParser().parseFromString(said.html, "text/html");
      return $said.querySelector(".tk-feedback__accepted").textContent.replace(/\s+/g, " ").trim();
    }
    throw new Error(`no unit is taken as an answer to ${authored.id}`);
  }, question);
}

/** What the core takes for right in each part of a question, as it says beside any answer. */
function acceptedValues(part, question) {
  return part.evaluate((_, { authored, draw }) => {
    const said = JSON.parse(wasm_bindgen.score(JSON.stringify(authored), draw, "null"));
    const $said = new DOMParser().parseFromString(said.html, "text/html");
    return [...$said.querySelectorAll(".tk-feedback__accepted")].map(($one) => $one.textContent.replace(/\s+/g, " ").trim());
  }, question);
}

/** Sorts the options with the buttons beside them; for a wrong order, the right one turned round. */
async function putInOrder(place, count, right) {
  // An order that nobody touched is no answer, and the dealt one may be the one wanted here.
  await place.locator('[data-do="down"]').first().click();
  for (let position = 0; position < count; position += 1) {
    const value = String(right ? position : count - 1 - position);
    for (let moves = 0; moves < count; moves += 1) {
      const order = await place.locator(".tk-order__item").evaluateAll(($items) => $items.map(($item) => $item.dataset.value));
      if (order.indexOf(value) <= position) break;
      await place.locator(`.tk-order__item[data-value="${value}"] [data-do="up"]`).click();
    }
  }
}

/** Everything this course keeps in the browser, by what follows `tankside.COURSE.learn.`. */
export function kept(page) {
  return page.evaluate(() => {
    const start = `tankside.${document.documentElement.dataset.course}.learn.`;
    return Object.fromEntries(Object.entries(localStorage).filter(([name]) => name.startsWith(start)).map(([name, text]) => [name.slice(start.length), text]));
  });
}

/** Where a round shows its question. */
export const stage = '[data-role="stage"]';

/** A page of practice on a phone, once its script has started; `look` gets the page and its first part. */
export function visit(page, look, options = {}) {
  return open(
    diskUrl(page),
    async (page) => {
      await page.locator("[data-started]").first().waitFor();
      await look(page, page.locator("[data-started]").first());
    },
    { viewport: PHONE, reducedMotion: "reduce", ...options },
  );
}

/** Begins an exam and waits for its first question. */
export async function beginExam(part) {
  await part.locator('[data-do="begin-exam"]').click();
  await part.locator(`${stage} [data-part="question"]`).waitFor();
}

/** Answers the question on the page in some way. */
export async function answerSomehow(part) {
  const place = part.locator(`${stage} [data-part="question"]`);
  const entries = await place.locator(".tk-question__entry, [data-piece]").all();
  if (entries.length) for (const entry of entries) await entry.fill("12.5 gal");
  else if (await place.locator(".tk-order__item").count()) await place.locator('[data-do="down"]').first().click();
  else await place.locator(".tk-choice__mark").first().check();
}

/** The sittings that are kept on the device. */
export const sittingsOf = async (page) => Object.entries(await kept(page)).filter(([name]) => name.startsWith("sitting.")).map(([, text]) => JSON.parse(text));
