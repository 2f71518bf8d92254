import type { Verdict } from '../finding.ts';
import { count, figure } from '../shared/words.ts';
import type { DifferenceSummary } from './differences.ts';

/** How a published angle stands against what the points give. */
export type AngleStanding = 'every-digit' | 'within' | 'beyond' | 'border' | 'nothing-published' | 'no-row';

/**
 * `within`: the largest difference with its interval is within the tolerance; `beyond`: all of its interval is beyond;
 * `border`: noise of the markers could carry it to either side.
 */
export function angleStanding(
  summary: Pick<DifferenceSummary, 'largestInterval'> | null,
  published: boolean,
  everyDigit: boolean,
  tolerance: number,
): AngleStanding {
  if (!published) return 'nothing-published';
  if (summary === null) return 'no-row';
  const [low, high] = summary.largestInterval;
  if (high <= tolerance) return everyDigit ? 'every-digit' : 'within';
  return low > tolerance ? 'beyond' : 'border';
}

/** A difference too small to matter is a reproduction. */
export function angleVerdict(standing: AngleStanding): Verdict {
  if (standing === 'every-digit' || standing === 'within') return 'too-small-to-matter';
  return standing === 'beyond' ? 'meaningful' : 'cannot-tell';
}

/** Degrees with as many decimals as show a small difference, down to what no marker resolves. */
export function degrees(value: number): string {
  const size = Math.abs(value);
  if (size > 0 && size < 5e-4) return 'less than 0.001 deg';
  return `${figure(value, size < 0.1 ? 4 : size < 1 ? 3 : 2)} deg`;
}

export interface AngleAnswerParts {
  readonly standing: AngleStanding;
  readonly label: string;
  readonly summary: DifferenceSummary | null;
  readonly tolerance: number;
  readonly rows: number;
  readonly noise_mm: number | null;
  /** The angle of the row worked through, `flexion 16.29 deg (SD 0.31 deg) in row 1`. */
  readonly worked: string;
  /** Another definition that gives the published numbers; null where none does. */
  readonly other: string | null;
}

/** The answer in a sentence or two. */
export function angleSentence(parts: AngleAnswerParts): string {
  const { standing, label, summary, tolerance, rows, noise_mm, worked, other } = parts;
  const largest =
    summary === null
      ? ''
      : `the largest of ${count(summary.rows, 'difference')} over ${count(rows, 'row')} is ${degrees(Math.abs(summary.largest.difference))} (row ${summary.largest.row}, ${summary.largest.angle.replace('_deg', '')})`;
  const within = `the ${tolerance} deg allowed`;
  switch (standing) {
    case 'every-digit':
      return `Yes: ${label} from these points is the published one to every digit that was printed; ${largest}, within ${within}.`;
    case 'within':
      return `Yes: ${label} from these points agrees with what was published; ${largest}, within ${within}, though not to every digit that was printed.`;
    case 'beyond':
      return `No: ${label} from these points is not what was published; ${largest}, beyond ${within}.${
        other === null
          ? ' Look at the side, at which point is which, and at the sequence.'
          : ` The published numbers are those of another definition: ${other}.`
      }`;
    case 'border':
      return `Cannot tell: ${largest}, and ${noise_mm} mm of marker noise could carry it to either side of ${within}.`;
    case 'nothing-published':
      return `Nothing published was given to reproduce; ${label} from these points: ${worked}.`;
    case 'no-row':
      return 'Cannot tell: no published row has points that give an angle.';
  }
}

/** The angles of a row in words, each with the SD that marker noise leaves where it is known. */
export function angleWords(
  entry: Readonly<Record<string, unknown>> | undefined,
  names: readonly string[],
): string {
  return names
    .flatMap((name) => {
      const value = entry?.[name];
      const sd = entry?.[`${name}_sd`];
      return typeof value === 'number'
        ? [
            `${name.replace('_deg', '')} ${degrees(value)}${typeof sd === 'number' ? ` (SD ${degrees(sd)})` : ''}`,
          ]
        : [];
    })
    .join(', ');
}
