// The case files of tests/cases, split into single cases; tests/cases/README.md describes their form.
// Whether a file keeps to that form is checked by tests/run_cases.rs, which reads the same files.

import { readFileSync, readdirSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "yaml";

const FOLDER = resolve(dirname(fileURLToPath(import.meta.url)), "../cases");

/**
 * @typedef {{value: number, unit: string, off: number}} Figure
 * @typedef {{calculator: string, name: string, given: [string, string][], units: "us" | "metric",
 *   expect: [string, Figure | {verdict: string}][], cautions: string[] | undefined}} Case
 */

/** @type {Case[]} */
export const CASES = readdirSync(FOLDER)
  .filter((file) => file.endsWith(".yaml") && file !== "not-expressed.yaml")
  .sort()
  .flatMap((file) => {
    // Every scalar as it was written, so that printed zeros are kept.
    const entries = parse(readFileSync(join(FOLDER, file), "utf8"), { schema: "failsafe" });
    return entries.flatMap((entry) => opened(basename(file, ".yaml"), entry));
  });

function opened(calculator, entry) {
  const given = flat(entry.given ?? {});
  const one = (name, given, expect) => ({ calculator, name, given, units: entry.units ?? "us", expect, cautions: entry.cautions?.toSorted() });
  const cases = [];
  if (entry.expect) cases.push(one(entry.name, given, Object.entries(entry.expect).map(([name, value]) => [name, expected(value)])));
  if (entry.table) cases.push(...cells(entry, given).map(([name, given, expect]) => one(name, given, [expect])));
  return cases;
}

/** A case for each printed figure of a table. */
function cells({ name, table: { columns, rows } }, given) {
  const lines = rows.split("\n").filter((line) => line.trim());
  return lines.flatMap((line) => {
    const texts = line.trim().split(/ {2,}/);
    const row = new Map(given);
    columns.forEach((column, at) => column.given && row.set(column.given, withUnit(texts[at], column.unit)));
    return columns.flatMap((column, at) => {
      if (!column.expect || texts[at] === "-") return [];
      const pairs = new Map([...row, ...flat(column.with ?? {})]);
      const right = texts[at].split("~").at(-1);
      const figure = printed(withUnit(right, column.unit), right === texts[at] ? column.within : undefined);
      return [[`${name} (${line.trim()}, ${at + 1})`, [...pairs], [column.expect, figure]]];
    });
  });
}

function withUnit(text, unit = "") {
  return `${text} ${unit}`.trim();
}

/** Inputs as flat names: rows become `catch.1.volume`. */
function flat(given) {
  return Object.entries(given).flatMap(([name, value]) =>
    Array.isArray(value)
      ? value.flatMap((row, index) => Object.entries(row).map(([field, text]) => [`${name}.${index + 1}.${field}`, text]))
      : [[name, value]],
  );
}

function expected(value) {
  if (typeof value === "string") return printed(value);
  return value.verdict ? { verdict: value.verdict } : printed(value.value, value.within);
}

/** The number, the unit and the tolerance of a printed figure: half of its last digit unless stated. */
function printed(text, within) {
  const [, number, unit] = text.match(/^([-\d ,./]+)(.*)$/);
  const value = numberOf(number);
  const digits = number.includes("/") ? Infinity : (number.trim().split(".")[1]?.length ?? 0);
  const off = within === "exact" ? 0 : within ? numberOf(within.match(/^[-\d ,./]+/)[0]) : 0.5 / 10 ** digits;
  return { value, unit: unit.trim(), off };
}

/** A number as people write it: 1,600 or 1 1/3. */
export function numberOf(text) {
  const [, whole, top, bottom] = text.replaceAll(",", "").replace("−", "-").trim().match(/^(-?[\d.]+(?= |$))? ?(?:(\d+)\/(\d+))?$/);
  return Number(whole ?? 0) + (top ? Number(top) / Number(bottom) : 0);
}

/** Whether a value is the figure; the slack is for the last binary digits, as in tests/case_files. */
export function fits(figure, value, more = 0) {
  return Math.abs(value - figure.value) <= (figure.off + more) * (1 + 1e-9) + Math.abs(figure.value) * 1e-12;
}
