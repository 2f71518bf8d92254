/** Makes exports over and over, each into a new folder, for the test that kills it: the roster, and where they go. */
import { join } from 'node:path';
import { shareDataset } from '../../../src/dataset/index.ts';

const [folder, out] = process.argv.slice(2) as [string, string];
process.stdout.write('begun\n');
for (let number = 1; ; number += 1) {
  const made = await shareDataset({
    folder,
    out: join(out, `export-${number}`),
    scope: 'study',
    key: new Uint8Array(32),
  });
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
}
