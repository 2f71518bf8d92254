import { readFileSync } from 'node:fs';

/** Name and version of this package, read once: they stand in the provenance of every finding. */
export const PACKAGE: { readonly name: string; readonly version: string } = (() => {
  const { name, version } = JSON.parse(
    readFileSync(new URL('../../package.json', import.meta.url), 'utf8'),
  ) as { name: string; version: string };
  return { name, version };
})();
