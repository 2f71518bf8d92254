import { createServer, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface PageServer {
  /** Where a browser on this machine opens the page. */
  readonly address: string;
  /** Tells every browser that has it open to load it again. */
  changed(): void;
  close(): Promise<void>;
}

/** Shows the page as it is on the disk, byte for byte, in a frame that is loaded again where it was scrolled to. */
const FRAME = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<title>Notebook</title>
<style>html, body { margin: 0; height: 100%; } iframe { border: 0; width: 100%; height: 100%; display: block; }</style>
<iframe src="/page" title="The notebook as it was last run"></iframe>
<script>
const frame = document.querySelector('iframe');
let top_px = 0;
frame.addEventListener('load', () => {
  document.title = frame.contentDocument.title;
  frame.contentWindow.scrollTo(0, top_px);
});
new EventSource('/changes').addEventListener('message', () => {
  top_px = frame.contentWindow.scrollY;
  frame.contentWindow.location.reload();
});
</script>
</html>
`;

/** Serves one page on 127.0.0.1, on a port that is free, to this machine alone. */
export async function servePage(page: () => Promise<Uint8Array>): Promise<PageServer> {
  const open = new Set<ServerResponse>();
  const server = createServer(async (request, response) => {
    // A page of another site whose name leads here must not read the notebook.
    if (request.headers.host !== new URL(addressOf(server.address())).host) return end(response, 403);
    if (request.method !== 'GET') return end(response, 405);
    if (request.url === '/') return send(response, FRAME);
    if (request.url === '/page')
      return page().then(
        (bytes) => send(response, bytes),
        () => end(response, 404),
      );
    if (request.url !== '/changes') return end(response, 404);
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    response.write(': open\n\n');
    open.add(response);
    request.on('close', () => open.delete(response));
  });
  await new Promise<void>((resolve, reject) => {
    server.on('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  return {
    address: addressOf(server.address()),
    changed() {
      for (const response of open) response.write('data: changed\n\n');
    },
    close: () =>
      new Promise((resolve) => {
        for (const response of open) response.end();
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

function addressOf(address: AddressInfo | string | null): string {
  if (address === null || typeof address === 'string')
    throw new Error('servePage: the server has no port; it is not listening.');
  return `http://127.0.0.1:${address.port}/`;
}

function send(response: ServerResponse, content: string | Uint8Array): void {
  response.writeHead(200, { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' });
  response.end(content);
}

function end(response: ServerResponse, status: number): void {
  response.writeHead(status);
  response.end();
}
