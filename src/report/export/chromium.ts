import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome'];
const LONGEST_MS = 60_000;

/**
 * The path of the Chromium named by the environment variable CHROMIUM, or of the first on the PATH; null where there is none.
 *
 * @example
 * const found = findChromium();
 * found === null || found.length > 0 // true
 */
export function findChromium(): string | null {
  const named = process.env.CHROMIUM;
  if (named !== undefined && named !== '') return existsSync(named) ? named : null;
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  return NAMES.flatMap((name) => folders.map((folder) => join(folder, name))).find(existsSync) ?? null;
}

/**
 * A page as a browser prints it: PDF. The time of printing is taken out of it, so that the same page and the same
 * browser give the same bytes. The browser has an empty profile of its own and no network.
 *
 * @param date YYYY-MM-DD, which the file says it is of
 * @throws Error where the browser ends without a file
 * @example
 * const chromium = findChromium();
 * const pdf = chromium === null ? null : await pagePdf(chromium, '<p>One page</p>', '2026-03-04');
 * pdf === null || new TextDecoder().decode(pdf.subarray(0, 5)) === '%PDF-' // true
 */
export async function pagePdf(chromium: string, html: string, date: string): Promise<Uint8Array> {
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-print-'));
  try {
    const page = join(scratch, 'page.html');
    const out = join(scratch, 'page.pdf');
    await writeFile(page, html);
    await runBrowser(chromium, [
      '--headless',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--host-resolver-rules=MAP * ~NOTFOUND',
      `--user-data-dir=${join(scratch, 'profile')}`,
      // The sandbox cannot start for the user root; the page runs its own two scripts and nothing else.
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--no-pdf-header-footer',
      `--print-to-pdf=${out}`,
      pathToFileURL(page).href,
    ]);
    return withoutTime(await readFile(out), date);
  } finally {
    await rm(scratch, { recursive: true, force: true, maxRetries: 5 });
  }
}

function runBrowser(path: string, words: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const browser = spawn(path, words, { stdio: 'ignore', timeout: LONGEST_MS });
    browser.on('error', reject);
    browser.on('exit', (code, signal) => {
      if (code === 0) resolve();
      else reject(new Error(`pagePdf: the browser ended with ${signal ?? code} and printed nothing`));
    });
  });
}

/** The two times in the file's description, set to midnight of a day; nothing moves, so its table of places stays true. */
function withoutTime(pdf: Uint8Array, date: string): Uint8Array {
  const day = `${date.replaceAll('-', '')}000000`;
  const text = Buffer.from(pdf).toString('latin1');
  const set = text.replaceAll(
    /(\/(?:CreationDate|ModDate) \(D:)\d{14}/g,
    (_, before: string) => `${before}${day}`,
  );
  return Buffer.from(set, 'latin1');
}
