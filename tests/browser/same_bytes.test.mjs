// The core publishes natively and answers in the page as WebAssembly: for the same numbers, the same
// bytes. A course of generated examples is published, and each is worked again by the built core.

import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { loadCore, phrasesOf } from "./core.mjs";
import { SITE, publish } from "./site.mjs";

const EACH = 30;

/** SplitMix32: the same numbers on every machine, so that a failure can be looked at again. */
function sequence(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return ((mixed ^ (mixed >>> 15)) >>> 0) / 2 ** 32;
  };
}

const next = sequence(1);
const between = (least, most, places = 0) => (least + next() * (most - least)).toFixed(places);
const one = (...of) => of[Math.floor(next() * of.length)];
const rows = (most, row) => Array.from({ length: 1 + Math.floor(next() * most) }, row);

const volume = () => one(`${between(40, 200)} fl oz`, `${between(0.4, 2, 2)} gal`, `${between(1500, 6000)} mL`, `${between(1, 6, 1)} L`);
const time = () => one(`${between(20, 90)} s`, `${between(0.4, 1.5, 2)} min`);
const length = () => one(`${between(50, 200)} ft`, `${between(20, 60, 1)} m`);
const area = () => one(`${between(500, 5000)} ft2`, `${between(50, 500)} m2`);
const rate = () => one(`${between(1, 4, 1)} gal/1000 ft2`, `${between(4, 16, 1)} L/100 m2`);
const dose = () => one(`${between(1, 6, 1)} fl oz/1000 ft2`, `${between(1, 4, 2)} pt/acre`, `${between(10, 60)} mL/100 m2`);
const product = () => ({ name: one("Greenhold", "Ember & Co", "Say \"when\"", "Low <3"), rate: dose() });

const GIVEN = {
  "catch-test": () => ({ catch: rows(4, () => ({ volume: volume(), time: time() })) }),
  "swath-timing": () => ({
    pass: rows(3, () => ({ length: length(), spacing: one(`${between(4, 9, 1)} ft`, `${between(1.2, 2.5, 1)} m`), passes: between(1, 6), time: `${between(60, 240)} s` })),
  }),
  "application-rate": () => ({
    timed: rows(3, () => ({ method: one("walked", "zigzag"), volume: volume(), "catch-time": time(), area: area(), "area-time": `${between(40, 120)} s` })),
  }),
  "tank-mix": () => ({ tank: one("200 gal", "100 gal", "600 L"), "application-rate": rate(), product: rows(3, product) }),
  "carrier-volume": () => ({
    tank: one("200 gal", "300 gal"),
    area: one(`${between(1, 9, 1)} acre`, `${between(1, 4, 1)} ha`),
    volume: [{ rate: rate() }, ...rows(2, () => ({ rate: rate() }))],
    product: rows(2, product),
  }),
};

const EXAMPLES = Object.entries(GIVEN).flatMap(([calculator, given]) =>
  Array.from({ length: EACH }, (_, index) => ({
    calculator,
    name: `${calculator}-${index + 1}`,
    units: one("us", "metric"),
    title: one("A worked example", "Less < more & \"so on\""),
    given: given(),
  })),
);

const folder = mkdtempSync(join(tmpdir(), "tankside-same-"));
after(() => rmSync(folder, { recursive: true, force: true }));

/** Inputs as the form names them. */
function flat(given) {
  return Object.entries(given).flatMap(([name, value]) =>
    Array.isArray(value)
      ? value.flatMap((row, index) => Object.entries(row).map(([field, text]) => [`${name}.${index + 1}.${field}`, text]))
      : [[name, value]],
  );
}

/** A lesson for each calculator; JSON is YAML as well, and quotes everything. */
function writeCourse(to) {
  mkdirSync(join(to, "lessons"), { recursive: true });
  const settings = { id: "same", title: "Same", company: "Invented Lawns", language: "en", units: "us", contact: "nobody@example.com", summary: "Same.", lessons: Object.keys(GIVEN) };
  writeFileSync(join(to, "course.yaml"), entries(settings));
  for (const calculator of Object.keys(GIVEN)) {
    const fences = EXAMPLES.filter((example) => example.calculator === calculator).map(
      ({ name, units, title, given }) => `\`\`\`worked-example ${name}\n${entries({ calculator, title, units, given })}\`\`\`\n`,
    );
    writeFileSync(join(to, "lessons", `${calculator}.md`), `---\ntitle: ${calculator}\nsummary: Generated.\n---\n\n## Examples\n\n${fences.join("\n")}`);
  }
}

function entries(mapping) {
  return Object.entries(mapping).map(([key, value]) => `${key}: ${JSON.stringify(value)}\n`).join("");
}

function publishedSections() {
  const course = join(folder, "course");
  const site = join(folder, "site");
  writeCourse(course);
  publish(site, course);
  const sections = new Map();
  for (const file of readdirSync(site, { recursive: true }).filter((name) => /^lessons[\\/].*\.html$/.test(name))) {
    for (const [section, name] of readFileSync(join(site, file), "utf8").matchAll(/<section\b[^>]*\bdata-name="([^"]*)".*?<\/section>/gs)) {
      sections.set(name, section);
    }
  }
  return sections;
}

describe("what is published natively is what WebAssembly makes, byte for byte", () => {
  let sections;
  let core;
  test("a course of generated examples is published", () => {
    sections = publishedSections();
    core = loadCore(phrasesOf(SITE));
    assert.equal(sections.size, EXAMPLES.length);
  });
  for (const calculator of Object.keys(GIVEN)) {
    test(`${calculator}, ${EACH} times`, () => {
      for (const example of EXAMPLES.filter((one) => one.calculator === calculator)) {
        const section = sections.get(example.name);
        const level = Number(section.match(/\bdata-level="(\d)"/)?.[1] ?? 3);
        // What the section says of itself is what the page asks the core for.
        const said = (name) => section.match(new RegExp(`\\bdata-${name}="([^"]*)"`))?.[1];
        const options = { name: example.name, units: example.units, title: example.title, level, show: said("show") };
        if (said("first") !== undefined) options.first = said("first").split(" ");
        const worked = core.worked(calculator, flat(example.given), options);
        assert.deepEqual(worked.errors, {}, example.name);
        same(section, "<form", worked.form, example.name);
        same(section, '<div class="tk-answer"', worked.answer, example.name);
      }
    });
  }
});

/** The published section holds exactly this markup where the element begins. */
function same(section, opening, markup, name) {
  const begin = section.indexOf(opening);
  assert.notEqual(begin, -1, `${name}: ${opening} is published`);
  assert.equal(section.slice(begin, begin + markup.trim().length), markup.trim(), name);
}
