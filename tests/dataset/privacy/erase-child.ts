/** Erases a golfer, for the tests that kill it: the folder and the golfer come as arguments. */
import { eraseGolfer } from '../../../src/dataset/privacy/index.ts';

const [folder, golfer] = process.argv.slice(2) as [string, string];
process.stdout.write('begun\n');
const outcome = await eraseGolfer(folder, golfer);
process.stdout.write(outcome.ok ? 'erased\n' : `${JSON.stringify(outcome.problems)}\n`);
