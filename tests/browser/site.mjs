// The published demo course the tests look at: made once by `cargo xtask test` and named in
// TANKSIDE_SITE, or else published here by the program named in TANKSIDE_BIN.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const HERE = dirname(fileURLToPath(import.meta.url));
const ROOT = resolve(HERE, "../..");

/** The folder of the published course. */
export const SITE = publishedSite();

/** Every page of it, as paths with `/`, in a fixed order. */
export const PAGES = filesUnder(SITE)
  .filter((file) => file.endsWith(".html"))
  .sort();

/** One page of each template: those at the top of the site, and of every folder the one with the most markup. */
export const ONE_OF_EACH_KIND = [
  ...PAGES.reduce((kinds, page) => {
    const kind = page.includes("/") ? dirname(page) : page;
    const most = kinds.get(kind);
    return !most || readPage(page).length > readPage(most).length ? kinds.set(kind, page) : kinds;
  }, new Map()).values(),
];

if (PAGES.length === 0) throw new Error(`no page in ${SITE}`);

/** Pages whose markup holds the given text, `data-part="worked"` for one. */
export function pagesWith(text) {
  return PAGES.filter((page) => readPage(page).includes(text));
}

/** A page's markup as published. */
export function readPage(page) {
  return readFileSync(join(SITE, page), "utf8");
}

/** A page's address when the folder is opened from a disk. */
export function diskUrl(page) {
  return pathToFileURL(join(SITE, page)).href;
}

function publishedSite() {
  if (process.env.TANKSIDE_SITE) return resolve(process.env.TANKSIDE_SITE);
  const folder = mkdtempSync(join(tmpdir(), "tankside-site-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  const site = join(folder, "site");
  publish(site);
  return site;
}

/** Publishes a course, or the one the program carries, from a folder that holds none. */
export function publish(to, course = undefined) {
  const program = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");
  const what = course === undefined ? [] : [course];
  execFileSync(program, ["publish", ...what, "--to", to], { cwd: tmpdir(), stdio: ["ignore", "ignore", "inherit"] });
}

/** Runs an example of the package of chores: as `cargo xtask test` has built it into TANKSIDE_EXAMPLES, or else built here. */
export function runExample(name, words, options) {
  const built = process.env.TANKSIDE_EXAMPLES;
  const cargo = ["run", "--locked", "--quiet", "--package", "xtask", "--example", name, "--"];
  const [program, before] = built ? [join(built, name), []] : [process.env.CARGO ?? "cargo", cargo];
  return execFileSync(program, [...before, ...words], { cwd: ROOT, ...options });
}

function filesUnder(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath ?? entry.path, entry.name)).split(sep).join("/"));
}
