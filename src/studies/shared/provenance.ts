import type { Dataset } from '../../dataset/index.ts';
import type { Provenance } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import type { StudyOptions } from '../study.ts';
import type { StudyMetric } from './study-metric.ts';

/** Where the numbers of a finding come from: package, files with their hashes, definitions, seed, newest date. */
export function provenanceOf(
  dataset: Dataset,
  options: Pick<StudyOptions, 'planFile' | 'seed'>,
  metrics: readonly Pick<StudyMetric, 'column' | 'version'>[],
): Provenance {
  return {
    package: PACKAGE.name,
    version: PACKAGE.version,
    inputs: [...dataset.files, ...(options.planFile === undefined ? [] : [options.planFile])].sort((a, b) =>
      a.file < b.file ? -1 : 1,
    ),
    definitions: metrics.map(({ column, version }) => ({ metric: column, version })),
    seed: options.seed ?? null,
    date: dataset.newestDate ?? '',
  };
}
