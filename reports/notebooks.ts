/**
 * `npm run notebooks`: runs every notebook of reports/ again, two at a time, writes nothing, and says of each whether it
 * shows what is committed (exit 1 where one does not). `npm run notebooks -- angle` runs those whose name begins so.
 */
import { outOfDate, reportFolders } from './render.ts';

const AT_A_TIME = 2;
const waiting = reportFolders(process.argv[2]).filter((name) => name.endsWith('-notebook'));
if (waiting.length === 0) {
  console.error(`No notebook's name begins with "${process.argv[2]}".`);
  process.exitCode = 2;
}
const start = performance.now();
await Promise.all(
  Array.from({ length: AT_A_TIME }, async () => {
    for (let name = waiting.shift(); name !== undefined; name = waiting.shift()) await check(name);
  }),
);
console.log(`${seconds(start)} s in all`);

async function check(name: string): Promise<void> {
  const begun = performance.now();
  try {
    const stale = await outOfDate([name]);
    if (stale.length > 0) process.exitCode = 1;
    const words = stale.length === 0 ? 'identical' : `not as committed: ${stale.join(', ')}`;
    console.log(`${name}: ${words} (${seconds(begun)} s)`);
  } catch (error) {
    process.exitCode = 1;
    console.log(`${name}: ${error instanceof Error ? error.message : error}`);
  }
}

function seconds(since: number): string {
  return ((performance.now() - since) / 1000).toFixed(1);
}
