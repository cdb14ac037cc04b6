// The Nu checker has nothing to say about any page.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { join } from "node:path";
import { test } from "node:test";
import { PAGES, SITE } from "./site.mjs";

// The checker takes 'self' for nowhere when it reads from a disk, and a block of data for a script to
// run. What browsers refuse is asked of a browser, on every page, over http and from a disk.
const POLICY = /^(Resource|Inline script) violates Content Security Policy \(meta tag\)/;

test("every page is valid HTML, without a warning", () => {
  const jar = createRequire(import.meta.url)("vnu-jar");
  const files = PAGES.map((page) => join(SITE, page));
  const checked = spawnSync("java", ["-Xss4m", "-jar", jar, "--stdout", "--format", "json", "--exit-zero-always", ...files], {
    encoding: "utf8",
    maxBuffer: 64 * 1024 * 1024,
  });
  assert.equal(checked.error, undefined);
  assert.equal(checked.status, 0, checked.stderr);
  const said = JSON.parse(checked.stdout).messages.filter((message) => !POLICY.test(message.message)).map(
    (message) => `${message.url?.split("/").pop()}:${message.lastLine}: ${message.subType ?? message.type}: ${message.message}`,
  );
  assert.deepEqual(said, []);
});
