/** A run of its own, for the test that kills it: captures, layout, out and workers come as arguments. */
import { measureFolder } from '../../src/dataset/index.ts';

const [captures, layout, out, workers] = process.argv.slice(2) as [string, string, string, string];
process.stdout.write('begun\n');
const outcome = await measureFolder({ captures, layout, out, workers: Number(workers) });
process.stdout.write(`${JSON.stringify(outcome)}\n`);
