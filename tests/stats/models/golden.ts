import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { DataColumns, Model } from '../../../src/stats/index.ts';

export const MODELS = fileURLToPath(new URL('../../reference/models/', import.meta.url));

interface Table {
  readonly fixed: readonly {
    readonly term: string;
    readonly estimate: number;
    readonly standardError: number;
    readonly degreesOfFreedom: number;
    readonly statistic: number;
    readonly pValue: number;
  }[];
  readonly tests: readonly {
    readonly effect: string;
    readonly numeratorDf: number;
    readonly denominatorDf: number;
    readonly f: number;
    readonly pValue: number;
  }[];
}

interface Means {
  readonly means: Readonly<Record<'level' | 'emmean' | 'SE' | 'df' | 'lower' | 'upper', readonly number[]>>;
  readonly pairs_tukey: Readonly<Record<'contrast' | 'estimate' | 'SE' | 'df' | 't', readonly number[]>>;
}

/** A model, its data and what general-purpose software found. */
export interface GoldenPair {
  readonly name: string;
  readonly data: string;
  readonly model: Model;
  readonly expected: {
    readonly fixed: readonly {
      readonly term: string;
      readonly estimate: number;
      readonly standardError: number;
    }[];
    readonly residualSd: number;
    readonly randomSd: Readonly<Record<string, readonly (readonly [string, number])[]>>;
    readonly randomCorrelation?: readonly (readonly [string, string, string, number])[];
    readonly logLikelihood: number;
    readonly criterion?: number;
    readonly aic?: number;
    readonly bic?: number;
    readonly satterthwaite?: Table;
    readonly kenwardRoger?: Table;
    readonly shrunken?: Readonly<
      Record<
        string,
        { readonly level: readonly string[]; readonly values: number[][]; readonly condVar: number[][][] }
      >
    >;
    readonly adjustedMeans_satterthwaite?: Means;
    readonly adjustedMeans_kenward_roger?: Means;
  };
}

export function readColumns(path: string): DataColumns {
  const [head, ...rows] = readFileSync(path, 'utf8')
    .trim()
    .split(/\r?\n/)
    .map((line) => line.split(','));
  return Object.fromEntries(head!.map((name, j) => [name, rows.map((row) => row[j]!)]));
}

export function readPair(folder: string, name: string): GoldenPair {
  return { name, ...JSON.parse(readFileSync(`${folder}/${name}.json`, 'utf8')) };
}

/** Every committed pair that holds a model and what was expected of it. */
export function committedPairs(): GoldenPair[] {
  return readdirSync(MODELS)
    .filter((file) => file.endsWith('.json'))
    .map((file) => readPair(MODELS, file.slice(0, -5)))
    .filter((pair) => pair.model !== undefined);
}

/** The reference program writes inner:outer where the contract writes outer / inner. */
export const ourName = (theirs: string): string =>
  theirs
    .replace(/\.\d+$/, '')
    .split(':')
    .reverse()
    .join(' / ');

export function relative(found: number, expected: number): number {
  return Math.abs(found - expected) / Math.max(Math.abs(expected), Number.MIN_VALUE);
}
