import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

let bundle: string | null = null;

/**
 * The text of the plotly.js bundle with its licence banner, ready for an inline script.
 * Throws an Error where the package is not installed or could not be inlined as it is.
 */
export function plotlyBundle(): string {
  if (bundle !== null) return bundle;
  const file = createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min');
  const text = readFileSync(file, 'utf8').replaceAll('\r\n', '\n');
  if (/<\/script|<!--/i.test(text) || !text.includes('Licensed under the MIT license')) {
    throw new Error(
      'plotlyBundle: the installed plotly.js cannot be inlined as it is; reinstall the pinned version with `npm ci`',
    );
  }
  bundle = text;
  return text;
}
