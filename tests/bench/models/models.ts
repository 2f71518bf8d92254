/**
 * How long the model engine takes, against general-purpose statistics software doing the same work in the same run.
 *
 * `npm run bench -- models [--quick]` prints one line per piece of work: our median, the reference's median, the ratio, and
 * `short of N x` where the ratio wanted is not reached; it writes reports/bench-models.json. The reference is timed live
 * where its interpreter (R with its packages) is installed; with --quick the pieces on which it takes more than a few
 * seconds, and everything where it is not installed, are compared with the medians stated for two cores, and marked.
 */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sharedReference } from '../../reference/shared.ts';
import { MODELS } from '../../stats/models/golden.ts';
import { type Work, works } from './works.ts';

const quick = process.argv.includes('--quick');

function ours_ms({ run, repeats }: Work): number {
  for (let i = 0; i < Math.min(500, repeats - 1); i++) run!();
  const times: number[] = [];
  for (let i = 0; i < repeats; i++) {
    const start = performance.now();
    run!();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return times[Math.floor(times.length / 2)]!;
}

/** Live medians of the reference by name of the work; empty where it is not installed. */
function reference_ms(names: readonly string[]): ReadonlyMap<string, number> {
  const script = fileURLToPath(new URL('./reference.R', import.meta.url));
  const large = sharedReference('models/egsingle.csv');
  const run = spawnSync('Rscript', [script, MODELS, large ? dirname(large) : '-', names.join(',')], {
    encoding: 'utf8',
  });
  const lines = run.status === 0 ? run.stdout.trim().split('\n') : [];
  return new Map(
    lines.map((line): [string, number] => {
      const [name, ms] = line.trim().split(/\s+/);
      return [name!, Number(ms)];
    }),
  );
}

const all = works();
const rows = all.map((work) => ({ work, ours: work.run ? ours_ms(work) : null }));
const live = reference_ms(all.filter(({ long }) => !(quick && long)).map(({ name }) => name));
console.log(
  live.size > 0
    ? 'Reference: general-purpose statistics software timed in this run; * where its stated median stands instead.'
    : 'Reference: stated medians of general-purpose statistics software, which is not installed here.',
);
const table = rows.map(({ work, ours }) => {
  const { name, what, stated_ms, wantedRatio, why } = work;
  const measured = live.get(name);
  const reference = measured ?? stated_ms;
  const ratio = ours === null ? null : reference / ours;
  const head = what.padEnd(58);
  if (ours === null || ratio === null) console.log(`${head} not available: ${why}`);
  else {
    const verdict = ratio >= wantedRatio ? '' : `  short of ${wantedRatio} x`;
    const mark = measured === undefined ? '*' : ' ';
    console.log(
      `${head} ${ours.toPrecision(3).padStart(9)} ms  reference ${reference.toPrecision(3).padStart(9)} ms${mark} ${ratio.toFixed(1).padStart(7)} x${verdict}`,
    );
  }
  return {
    work: what,
    ours_ms: ours,
    reference_ms: reference,
    reference: measured === undefined ? 'stated' : 'measured in this run',
    ratio,
    wantedRatio,
    ...(ours === null ? { notAvailable: why } : {}),
  };
});
const report = {
  machine: { cores: availableParallelism(), node: process.version, architecture: process.arch },
  table,
};
writeFileSync(
  new URL('../../../reports/bench-models.json', import.meta.url),
  `${JSON.stringify(report, null, 2)}\n`,
);
