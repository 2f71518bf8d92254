import type { Dataset } from '../../dataset/index.ts';
import type { StudyOptions } from '../study.ts';

/** One way of making a choice. The first of a choice is the way the question was asked. */
export interface SpecificationOption {
  /** A short fixed word, unique in its choice. */
  readonly key: string;
  /** What it means, such as `without the first two swings of a session`. */
  readonly words: string;
  /** What it changes of the question. */
  readonly options?: Pick<StudyOptions, 'metric' | 'covariates'>;
  /** Which swings stay, by their index in swings.csv; all where absent. */
  readonly keep?: (dataset: Dataset, column: string) => (index: number) => boolean;
  /**
   * -1 where more of this metric means less of the main one (release timing in per cent against release onset in
   * milliseconds), so that estimates can be laid on one scale; 1 where absent.
   */
  readonly sense?: 1 | -1;
}

/** A choice that another careful person might have made in another way. */
export interface SpecificationChoice {
  readonly key: string;
  /** What is chosen, such as `which swings count`. */
  readonly words: string;
  readonly options: readonly SpecificationOption[];
}
