// A small course of a company's own: one lesson, and a check that counts with a question of several parts.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { publish } from "./site.mjs";

const FILES = {
  "course.yaml": `id: small-course
title: A small course
company: Invented Lawns
lessons: [catch-test, the-check]
exam: { items: 8, minutes: 20, typed: 2 }
`,
  "lessons/catch-test.md": `---
title: The catch test
summary: What the gun puts out.
minutes: 7
---

\`\`\`worked-example our-catch
calculator: catch-test
given:
  catch:
    - { volume: 126 fl oz, time: 30 s }
    - { volume: 127 fl oz, time: 30 s }
\`\`\`
`,
  "lessons/the-check.md": `---
title: The check
summary: Four questions, marked at the end.
minutes: 5
---

\`\`\`questions last-lawn
pass: 60 %
counts: true
\`\`\`
`,
  "questions/last-lawn.yaml": `id: last-lawn
title: The last lawn
questions:
  - id: whole
    kind: number
    asks: tank-mix/product-1-amount
    text: "A lawn of {area} is left, and {left} of mix. The card says {application-rate}, the label {product.1.rate}. How much product do you add?"
    parts:
      - { text: How much mix does the lawn take?, asks: tank-mix/mix-needed, answer-in: gal }
      - { text: How much mix do you make?, asks: tank-mix/mix-to-make, answer-in: gal }
    given: { application-rate: "one of 1.6, 1.8 gal/1000 ft2", area: 12000 to 20000 by 1000 ft2, left: 6 gal, product: [ { rate: 0.9 fl oz/1000 ft2 } ] }
    answer-in: fl oz
  - id: gun
    kind: number
    asks: catch-test/nozzle-output
    text: "You catch {catch.1.volume} in {catch.1.time}. What does the gun put out?"
    given: { catch: [ { volume: 90 to 200 by 2 fl oz, time: "one of 20, 30, 40 s" } ] }
    answer-in: gal/min
  - id: water
    kind: one
    text: What is in the tank when you do a catch test?
    options:
      - { text: Clean water, right: true, because: Until the output is known no dose is safe. }
      - { text: A weak mix, because: A weak mix is still product. }
`,
};

/** The course, published; the folder goes with the process. `changes` are files that differ. */
export function smallCourse(changes = {}) {
  const folder = mkdtempSync(join(tmpdir(), "tankside-small-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  const [course, site] = [join(folder, "course"), join(folder, "site")];
  for (const folder of ["lessons", "questions"]) mkdirSync(join(course, folder), { recursive: true });
  const write = (files) => {
    for (const [name, text] of Object.entries(files)) writeFileSync(join(course, name), text);
    publish(site, course);
  };
  write({ ...FILES, ...changes });
  return { folder, course, site, files: FILES, again: write, url: (page) => pathToFileURL(join(site, page)).href };
}
