// The calibration card as an operator handles it: its parts on the page, and what is filled in.

import assert from "node:assert/strict";

export const PAGE = "card.html";

/** 1.5 gal in 60 s, 1000 ft² in 80 s: 2 gal/1000 ft², by hand. */
export const DANA = {
  operator: "Dana Quill", rig: "Truck 2", gun: "Turf gun", tip: "Green", pressure: "60", date: "2026-04-14",
  "timed.1.volume": "192", "timed.1.catch-time": "60", "timed.1.area": "1000", "timed.1.area-time": "80", tank: "200",
};
/** 1.5 gal in 60 s, 1000 ft² in 100 s: 2.5 gal/1000 ft², by hand. */
export const LEE = { ...DANA, operator: "Lee Marsh", "timed.1.area-time": "100" };

export const chore = (page, name) => page.locator(`[data-chore="${name}"]`).first();
export const said = (page, where) => page.locator(`[data-role="${where}-said"]`).innerText();
export const rows = (page) => page.locator(".tk-cards__table tbody tr");
export const cell = (page, name) => page.locator(`.tk-sheet [data-result="${name}"]`).innerText();
export async function ready(page) {
  await page.locator('[data-part="card"]').dispatchEvent("pointerdown");
  await page.locator('[data-part="card"][data-started]').waitFor();
}

export async function write(page, values) {
  await chore(page, "new").click();
  for (const [name, text] of Object.entries(values)) await page.fill(`.tk-sheet [name="${name}"]`, text);
}

export async function keep(page, values) {
  await write(page, values);
  await chore(page, "keep").click();
  assert.equal(await said(page, "sheet"), `${values.operator}’s card is saved.`);
}

export async function addProduct(page, number, name, rate, most = "") {
  await page.locator('[data-do="add"][data-group="product"]').click();
  await page.fill(`[name="product.${number}.name"]`, name);
  await page.fill(`[name="product.${number}.rate"]`, rate);
  if (most) await page.fill(`[name="product.${number}.label-max"]`, most);
}
