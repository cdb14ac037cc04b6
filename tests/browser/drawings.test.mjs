// Drawings as they were tried against a site: each that ran a script, opened a dialog or asked for something when it was
// opened by itself. What is published of them is opened in a real browser, by itself and in its lesson; none of it does so.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { existsSync } from "node:fs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PROGRAM = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");
const RUN = "localStorage.setItem('ran','1');alert(1)";
const SVG = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9"';
const around = (inside, more = "") => `<svg ${SVG} ${more}>${inside}<path d="M0 0h9"/></svg>`;
const XHTML = 'xmlns="http://www.w3.org/1999/xhtml"';

/** Whole files, by what they try. */
const TRIED = {
  "a script": around(`<script>${RUN}</script>`),
  "a script in character data": around(`<script><![CDATA[${RUN}]]></script>`),
  "a script by address": around(`<script href="data:text/javascript,${encodeURIComponent(RUN)}"/>`),
  "a script by the older address": around(`<script xlink:href="data:text/javascript,${encodeURIComponent(RUN)}"/>`),
  "a prefixed script": around(`<s:script xmlns:s="http://www.w3.org/2000/svg">${RUN}</s:script>`),
  "a script of XHTML": around(`<h:script xmlns:h="http://www.w3.org/1999/xhtml">${RUN}</h:script>`),
  "an event on the root": around("", `onload="${RUN}"`),
  "an event after a line's end": around("", `\nonload="${RUN}"`),
  "an event after a tab": around("", `\tonload="${RUN}"`),
  "an event after a carriage return": around("", `\ronload="${RUN}"`),
  "an event with blanks": around("", `onload \n = '${RUN.replaceAll("'", '"')}'`),
  "an event by references": around("", `onload="&#108;ocalStorage.setItem('ran','1')"`),
  "an event inside": around(`<g onload="${RUN}"/>`),
  "an event of an animation": around(`<rect width="1" height="1"><animate onbegin="${RUN}" attributeName="x" dur="1s"/></rect>`),
  "an event of a picture": around(`<image href="no-such.png" onerror="${RUN}"/>`),
  "an event declared from outside": `<!DOCTYPE svg [<!ATTLIST svg onload CDATA "${RUN}">]>${around("")}`,
  "an entity": `<!DOCTYPE svg [<!ENTITY run "<script xmlns='http://www.w3.org/2000/svg'>${RUN.replaceAll("'", "&#39;")}</script>">]>${around("&run;")}`,
  "a foreign object": around(`<foreignObject width="9" height="9"><img ${XHTML} src="x" onerror="${RUN}"/></foreignObject>`),
  "a prefixed foreign object": around(`<s:foreignObject xmlns:s="http://www.w3.org/2000/svg" width="9" height="9"><img ${XHTML} src="x" onerror="${RUN}"/></s:foreignObject>`),
  "a frame": around(`<foreignObject width="9" height="9"><iframe ${XHTML} srcdoc="&lt;script&gt;parent.${RUN}&lt;/script&gt;"/></foreignObject>`),
  "a frame with a script's address": around(`<iframe ${XHTML} src="java&#115;cript:parent.${RUN}"/>`),
  "a picture of XHTML": around(`<img ${XHTML} src="x" onerror="${RUN}"/>`),
  "a body of XHTML": around(`<body ${XHTML} onload="${RUN}"/>`),
  "a root of XHTML": `<html ${XHTML}><script>${RUN}</script></html>`,
  "another encoding": `<?xml version="1.0" encoding="ISO-2022-JP"?>${around("", `a="\u001b$B" onload="${RUN}" b="\u001b(B"`)}`,
  "a stylesheet that loads": around("<style>@import url(http://127.0.0.1:9/a.css);</style>"),
  "a style that loads": around('<g style="fill:url(http://127.0.0.1:9/a)"/>'),
  "a picture from elsewhere": around('<image width="9" height="9" href="http://127.0.0.1:9/a.png"/>'),
  "a use from elsewhere": around('<use href="http://127.0.0.1:9/a.svg#b"/>'),
  "a filter from elsewhere": around('<filter id="f"><feImage href="http://127.0.0.1:9/a.png"/></filter><rect width="9" height="9" filter="url(#f)"/>'),
  "a stylesheet by instruction": `<?xml-stylesheet href="http://127.0.0.1:9/a.css"?>${around("")}`,
  "a transformation by instruction": `<?xml-stylesheet type="text/xsl" href="http://127.0.0.1:9/a.xsl"?>${around("")}`,
};

const folder = mkdtempSync(join(tmpdir(), "tankside-drawings-"));
const browser = chromium.launch({
  executablePath: process.env.CHROMIUM ?? ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium", "/usr/bin/google-chrome"].find(existsSync),
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
after(async () => {
  await (await browser).close();
  rmSync(folder, { recursive: true, force: true });
});

/** What a file does when it is opened: scripts that ran, dialogs, requests for anything else. */
async function does(file) {
  const context = await (await browser).newContext();
  const done = [];
  try {
    const page = await context.newPage();
    page.on("dialog", (dialog) => {
      done.push("a dialog");
      dialog.dismiss().catch(() => {});
    });
    page.on("request", (request) => {
      if (request.url() !== pathToFileURL(file).href) done.push(`asks for ${request.url()}`);
    });
    await page.goto(pathToFileURL(file).href, { waitUntil: "load" }).catch(() => {});
    await page.waitForTimeout(150);
    // What the page itself says is not evaluated in a document that cannot be shown.
    if (await page.evaluate(() => localStorage.getItem("ran")).catch(() => null)) done.push("a script ran");
  } finally {
    await context.close();
  }
  return done;
}

const names = Object.fromEntries(Object.keys(TRIED).map((what, index) => [what, `drawing-${index + 1}`]));

function written(course, tried) {
  mkdirSync(join(course, "images"), { recursive: true });
  mkdirSync(join(course, "lessons"), { recursive: true });
  writeFileSync(join(course, "course.yaml"), "id: drawn\ntitle: Drawn\ncompany: Example Lawns\nlessons: [drawn]\n");
  const shown = tried.map((what) => `![${what}](../images/${names[what]}.svg)\n`);
  writeFileSync(join(course, "lessons/drawn.md"), `---\ntitle: Drawn\nsummary: Drawings.\n---\n\n${shown.join("\n")}`);
  for (const what of tried) writeFileSync(join(course, "images", `${names[what]}.svg`), TRIED[what]);
}

test("no drawing that is published runs a script, opens a dialog or asks for anything", async () => {
  const all = Object.keys(TRIED);
  assert.ok(all.length >= 30);
  const course = join(folder, "course");
  written(course, all);
  // Proofing says of all of them at once which are refused.
  let report;
  try {
    report = execFileSync(PROGRAM, ["proof", course, "--format", "json"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  } catch (refused) {
    report = refused.stdout;
  }
  const refused = new Set(JSON.parse(report).problems.filter((one) => one.severity === "error").map((one) => one.file));
  // Files are named as they open from where the command was run.
  const passed = all.filter((what) => ![...refused].some((file) => file.endsWith(`images/${names[what]}.svg`)));
  assert.ok(all.length - passed.length >= 25, `refused: ${all.length - passed.length}`);
  rmSync(course, { recursive: true });
  written(course, passed);
  const site = join(folder, "site");
  execFileSync(PROGRAM, ["publish", course, "--to", site], { stdio: ["ignore", "ignore", "pipe"] });
  for (const what of passed) {
    assert.deepEqual(await does(join(site, "images", `${names[what]}.svg`)), [], what);
  }
  // In its lesson a drawing is a picture; the page asks for its own files and nothing else.
  const page = (await does(join(site, "lessons/drawn.html"))).filter((one) => !one.startsWith(`asks for ${pathToFileURL(site).href}/`));
  assert.deepEqual(page, []);
});

test("as they were drawn, most of them do run: the test would see it", async () => {
  const raw = join(folder, "raw");
  written(raw, Object.keys(TRIED));
  let acted = 0;
  for (const what of Object.keys(TRIED)) {
    if ((await does(join(raw, "images", `${names[what]}.svg`))).length > 0) acted += 1;
  }
  assert.ok(acted >= 15, `only ${acted} did anything`);
});
