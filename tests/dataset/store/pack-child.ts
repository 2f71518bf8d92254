/** Packs and unpacks a folder over and over, each time into new folders, for the test that kills it. */
import { join } from 'node:path';
import { packDataset, unpackDataset } from '../../../src/dataset/store/index.ts';

const [csv, out] = process.argv.slice(2) as [string, string];
process.stdout.write('begun\n');
for (let number = 1; ; number += 1) {
  await packDataset(csv, join(out, `packed-${number}`));
  await unpackDataset(join(out, `packed-${number}`), join(out, `unpacked-${number}`));
}
