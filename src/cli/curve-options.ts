import { loadCurves, type Problem } from '../dataset/index.ts';
import { COMPARISONS, type StudyOptions, TIME_AXES } from '../studies/index.ts';
import type { Fault } from './result.ts';
import { unknownWord } from './unknown-word.ts';

/** The words of a question about curves, as typed. */
export interface CurveWords {
  readonly compare?: string | undefined;
  readonly by?: string | undefined;
  readonly axis?: string | undefined;
}

type CurveOptions = Pick<StudyOptions, 'curves' | 'compare' | 'by' | 'timeAxis'>;

/** The typed words as options of a study, or what is wrong with them. */
export function curveWords({
  compare,
  by,
  axis,
}: CurveWords): { readonly options: CurveOptions } | { readonly faults: readonly Fault[] } {
  const compared = COMPARISONS.find((kind) => kind === compare);
  const timeAxis = TIME_AXES.find((kind) => kind === axis);
  const faults: Fault[] = [
    ...(compare === undefined || compared !== undefined
      ? []
      : [unknownWord('--compare', compare, COMPARISONS)]),
    ...(axis === undefined || timeAxis !== undefined ? [] : [unknownWord('--axis', axis, TIME_AXES)]),
  ];
  if (faults.length > 0) return { faults };
  return {
    options: {
      ...(compared === undefined ? {} : { compare: compared }),
      ...(by === undefined ? {} : { by }),
      ...(timeAxis === undefined ? {} : { timeAxis }),
    },
  };
}

/** The curves beside the tables as an option of a study, or the problems in their files. */
export async function curvesBeside(
  folder: string,
): Promise<{ readonly options: CurveOptions } | { readonly problems: readonly Problem[] }> {
  const loaded = await loadCurves(folder);
  return loaded.valid ? { options: { curves: loaded.value } } : { problems: loaded.problems };
}
