import type { Finding, NoiseTables } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

/** The numbers under the figures, and in the files: each table once, for both. */

const PARTS = {
  golfer: 'between golfers',
  session: 'between sessions of a golfer',
  swing: 'between swings of a session',
} as const;

/** What a source of variance is called. */
export const partWords = (part: keyof typeof PARTS): string => PARTS[part];

export function partTable({ metric, tables }: Finding<NoiseTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'part', label: 'SD' },
      { key: 'sd', label: 'from mean squares', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 'share', label: 'share of the variance of a swing' },
      { key: 'likelihoodSd', label: 'restricted maximum likelihood', unit },
      { key: 'likelihoodLow', label: 'profile low', unit },
      { key: 'likelihoodHigh', label: 'profile high', unit },
    ],
    rows: tables.parts.map(({ part, sd, interval, share, likelihoodSd, likelihoodInterval }) => ({
      part: partWords(part),
      sd,
      low: interval?.[0] ?? null,
      high: interval?.[1] ?? null,
      share,
      likelihoodSd,
      likelihoodLow: likelihoodInterval?.[0] ?? null,
      likelihoodHigh: likelihoodInterval?.[1] ?? null,
    })),
  };
}

export function detectableTable({ metric, tables }: Finding<NoiseTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'sessions', label: 'sessions' },
      { key: 'swings', label: 'swings in each' },
      { key: 'smallest', label: 'smallest detectable change', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 'visible', label: 'shows a change that matters' },
    ],
    rows: tables.detectable.map(({ interval, visible, ...row }) => ({
      ...row,
      low: interval[0],
      high: interval[1],
      visible: visible === null ? null : visible ? 'yes' : 'no',
    })),
  };
}

export function correlationTable({ tables }: Finding<NoiseTables>): FigureTable {
  return {
    columns: [
      { key: 'name', label: 'intraclass correlation' },
      { key: 'otherName', label: 'also written' },
      { key: 'form', label: 'form' },
      { key: 'of', label: 'of' },
      { key: 'estimate', label: 'estimate' },
      { key: 'low', label: 'low' },
      { key: 'high', label: 'high' },
    ],
    rows: tables.correlations.map(({ interval, of, ...row }) => ({
      ...row,
      of: of === 'single' ? 'one session' : 'the mean of these sessions',
      low: interval?.[0] ?? null,
      high: interval?.[1] ?? null,
    })),
  };
}

export function golferTable({ metric, tables }: Finding<NoiseTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'sessions', label: 'sessions' },
      { key: 'swings', label: 'swings' },
      { key: 'mean', label: 'mean', unit },
      { key: 'swingSd', label: 'SD of swings', unit },
    ],
    rows: tables.golfers.map((row) => ({ ...row })),
  };
}

export function deviceTable({ metric, tables }: Finding<NoiseTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'device', label: 'device' },
      { key: 'golfers', label: 'golfers' },
      { key: 'sessions', label: 'sessions' },
      { key: 'swings', label: 'swings' },
      { key: 'sessionSd', label: 'SD between sessions', unit },
      { key: 'swingSd', label: 'SD between swings', unit },
    ],
    rows: tables.devices.map((row) => ({ ...row })),
  };
}

export function agreementTable({ metric, tables }: Finding<NoiseTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'mean', label: 'mean of both', unit },
      { key: 'difference', label: 'difference', unit },
    ],
    rows: (tables.agreement?.points ?? []).map((row) => ({ ...row })),
  };
}

/** Every row that the page is drawn from, by file name; a table without rows is left out. */
export function noiseTables(finding: Finding<NoiseTables>): Record<string, FigureTable> {
  return Object.fromEntries(
    Object.entries({
      variances: partTable(finding),
      'detectable-changes': detectableTable(finding),
      correlations: correlationTable(finding),
      golfers: golferTable(finding),
      devices: deviceTable(finding),
      agreement: agreementTable(finding),
    }).filter(([, { rows }]) => rows.length > 0),
  );
}
