// A plain static server on loopback: files by their path, nothing else. No index of a folder, no redirection.

import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";

const KINDS = { ".html": "text/html; charset=utf-8", ".xml": "application/atom+xml", ".json": "application/json", ".pdf": "application/pdf", ".svg": "image/svg+xml" };

/** Serves `folder`; `asked` holds the path of every request. */
export async function serve(folder) {
  const asked = [];
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://x").pathname);
    asked.push(path);
    try {
      const bytes = readFileSync(join(folder, normalize(path)));
      response.writeHead(200, { "content-type": KINDS[extname(path)] ?? "application/octet-stream" }).end(bytes);
    } catch {
      response.writeHead(404).end("not there");
    }
  });
  await new Promise((resolve) => { server.listen(0, "127.0.0.1", resolve); });
  const address = `http://127.0.0.1:${server.address().port}`;
  return { address, asked, stop: () => new Promise((resolve) => { server.close(resolve); server.closeAllConnections(); }) };
}
