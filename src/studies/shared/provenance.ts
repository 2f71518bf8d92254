import type { Dataset } from '../../dataset/index.ts';
import type { Provenance } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import type { StudyOptions } from '../study.ts';
import { askCommand } from './command.ts';
import type { StudyMetric } from './study-metric.ts';

/**
 * Where the numbers of a finding come from: package, files with their hashes, definitions, seed, newest date, and the
 * words that ask it again.
 *
 * @param options as they were given, not as they were settled
 * @param metrics the one that answers first
 * @param seed the seed that was used; the one given when absent
 */
export function provenanceOf(
  study: string,
  dataset: Dataset,
  options: StudyOptions,
  metrics: readonly [
    Pick<StudyMetric, 'column' | 'version'>,
    ...(readonly Pick<StudyMetric, 'column' | 'version'>[]),
  ],
  seed: number | null = options.seed ?? null,
): Provenance {
  return {
    package: PACKAGE.name,
    version: PACKAGE.version,
    inputs: [...dataset.files, ...(options.planFile === undefined ? [] : [options.planFile])].sort((a, b) =>
      a.file < b.file ? -1 : 1,
    ),
    definitions: metrics.map(({ column, version }) => ({ metric: column, version })),
    seed,
    command: askCommand(study, metrics[0].column, options),
    date: dataset.newestDate ?? '',
  };
}
