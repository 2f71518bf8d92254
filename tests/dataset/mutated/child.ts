/** Tries mutated inputs one at a time for run.ts, which kills it where one takes too long: a child of its own, with messages. */
import { mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { prepared, type Trial, tryOne } from './try-one.ts';

const folder = process.argv[2]!;
const seeds = await prepared(join(folder, 'seeds'));
process.on('message', async (trial: Trial) => {
  const own = await mkdtemp(join(folder, 'try-'));
  const outcome = await tryOne(trial, seeds, own);
  await rm(own, { recursive: true, force: true });
  process.send!({ ...trial, outcome });
});
process.send!('ready');
