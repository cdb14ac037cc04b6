// A plain web server for one folder, at any path. It knows no directory listing and no default
// document: a link of the site that does not end in a file name is answered 404, and a test fails.

import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize, sep } from "node:path";

const TYPES = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".jpg": "image/jpeg",
  ".webp": "image/webp",
  ".ico": "image/x-icon",
  ".txt": "text/plain; charset=utf-8",
  ".webmanifest": "application/manifest+json",
};

/**
 * Serves `folder` under `path` on this machine only. The folder can be another one later; `seen` holds the paths that were
 * asked for, a request for the file in `dies` is broken off, `leads` may send a path elsewhere, and `headers` are sent
 * with every file.
 * @param {string} folder
 * @param {string} path begins and ends with a slash
 * @returns {Promise<{folder: string, dies: string|null, leads: ((path: string) => string|null)|null, headers: Record<string, string>, seen: string[], origin: string, url: (file: string) => string, close: () => Promise<void>}>}
 */
export async function serve(folder, path = "/any/where/") {
  const seen = [];
  const about = { folder, dies: null, leads: null, headers: {} };
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url, "http://127.0.0.1");
    seen.push(pathname);
    if (about.dies && pathname.endsWith(about.dies)) return request.socket.destroy();
    const elsewhere = about.leads && about.leads(pathname);
    if (elsewhere) return response.writeHead(302, { location: elsewhere }).end();
    const file = within(about.folder, path, pathname);
    try {
      const body = file ? await readFile(file).catch((cause) => (about.leads ? readFile(`${file}.html`) : Promise.reject(cause))) : null;
      if (body === null) throw new Error("outside the site");
      response.writeHead(200, { "content-type": TYPES[extname(file) || (about.leads ? ".html" : "")] ?? "application/octet-stream", ...about.headers });
      response.end(request.method === "HEAD" ? undefined : body);
    } catch {
      response.writeHead(404, { "content-type": "text/plain" });
      response.end("not here");
    }
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  // A test that fails before it closes its server must not keep the whole run from ending.
  server.unref();
  const origin = `http://127.0.0.1:${server.address().port}`;
  return Object.assign(about, {
    origin,
    seen,
    url: (file) => origin + path + file,
    close: () =>
      new Promise((closed) => {
        server.close(closed);
        server.closeAllConnections();
      }),
  });
}

/** The file a request asks for, or null when it lies outside the folder. */
function within(folder, path, pathname) {
  if (!pathname.startsWith(path)) return null;
  let name;
  try {
    name = decodeURIComponent(pathname.slice(path.length));
  } catch {
    return null;
  }
  const file = normalize(join(folder, name));
  return file.startsWith(normalize(folder) + sep) ? file : null;
}
