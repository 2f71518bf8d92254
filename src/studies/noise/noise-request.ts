import type { Dataset } from '../../dataset/index.ts';
import type { Excluded } from '../shared/exclusions.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import type { StudyOptions } from '../study.ts';
import type { NoiseData } from './noise-data.ts';

export interface NoiseRequest {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly excluded: Excluded<NoiseData>;
  readonly metric: StudyMetric;
  readonly level: number;
}
