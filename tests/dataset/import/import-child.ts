/** Imports over and over, one file after another, for the test that kills it: the dataset, and the number to begin with. */
import { importFile, proposeMapping } from '../../../src/dataset/import/index.ts';
import { answered } from './importing.ts';
import { lessonOf } from './lesson.ts';

const [data, first] = process.argv.slice(2) as [string, string];
process.stdout.write('begun\n');
for (let number = Number(first); ; number += 1) {
  const source = new TextEncoder().encode(lessonOf(number));
  const proposal = proposeMapping(source, 'lesson.csv');
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  const result = await importFile({ mapping: answered(proposal.mapping), source, data });
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
}
