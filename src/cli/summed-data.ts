import {
  type Checked,
  type Dataset,
  loadDataset,
  loadSummed,
  loadSummedCells,
  type Plan,
  packedSwings,
  type SwingCells,
  type SwingSums,
} from '../dataset/index.ts';
import { DEFAULT_METRIC, type Study, type StudyOptions } from '../studies/index.ts';

/**
 * From so many packed swings on they are summed by session where they are. Fewer are read, one by one, for what sums do not
 * tell (swings far from the rest, other choices of swings): a million took drill-trial 0.9 GiB, and more take more.
 */
export const MANY_SWINGS = 2_000_000;

export interface DataOfQuestion {
  readonly dataset: Dataset;
  /** Where the swings were summed and are not held. */
  readonly swingSums?: SwingSums;
  readonly swingCells?: SwingCells;
}

/**
 * The data that a question is put to. Where the study takes sums and more swings are packed than `many`, the swings are
 * summed by the embedded SQL engine and no row is held; the answer is the same.
 */
export async function dataOfQuestion(
  folder: string,
  study: Study,
  metric: string | undefined,
  plan: Plan | undefined,
  many: number = MANY_SWINGS,
  question: Pick<StudyOptions, 'predictor' | 'mediator'> = {},
): Promise<Checked<DataOfQuestion>> {
  const swings = study.takesSums === true ? await packedSwings(folder).catch(() => null) : null;
  if (swings === null || swings < many) {
    const loaded = await loadDataset(folder);
    return loaded.valid ? { ...loaded, value: { dataset: loaded.value } } : loaded;
  }
  const { cells } = study;
  if (cells !== undefined) {
    const options: StudyOptions = {
      ...question,
      ...(metric === undefined ? {} : { metric }),
      ...(plan === undefined ? {} : { plan }),
    };
    const loaded = await loadSummedCells(folder, cells.levelsOf, (facts) => cells.wanted(facts, options));
    if (!loaded.valid) return loaded;
    return { ...loaded, value: { dataset: loaded.value.dataset, swingCells: loaded.value.sums } };
  }
  const summed = await loadSummed(folder, metric ?? plan?.metric.column ?? DEFAULT_METRIC);
  if (!summed.valid) return summed;
  const { dataset, sums } = summed.value;
  return { ...summed, value: { dataset, swingSums: sums } };
}
