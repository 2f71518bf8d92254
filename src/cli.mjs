// @ts-check
/** The command line from the sources: `npm run cli -- ask ...`. */
import { pathToFileURL } from 'node:url';
import { buildSources } from './build-sources.mjs';

const built = await buildSources();
if (built === null) {
  const { register } = await import('tsx/esm/api');
  register();
}
await import(
  built === null
    ? new URL('./cli/main.ts', import.meta.url).href
    : pathToFileURL(`${built}/cli/main.js`).href
);
