import type { JudgedRow } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

const CLAIMS: Readonly<Record<JudgedRow['claim'], string>> = {
  exact: '95%',
  'at-least': '95% or more',
  none: 'none',
};

const STANDINGS: Readonly<Record<JudgedRow['standing'], string>> = {
  inside: 'as it says',
  'too-low': 'too sure',
  'too-high': 'wider than needed',
  'cannot-tell': 'at an edge, or too few cohorts',
  'not-claimed': 'no claim',
  'no-interval': 'no interval',
};

const ALARMS: Readonly<Record<JudgedRow['falseAlarms'], string>> = {
  seldom: 'seldom enough',
  'too-often': 'too often',
  'cannot-tell': 'at an edge, or too few cohorts',
  'not-asked': '',
};

/** Every row of the calibration; shares in per cent. */
export function calibrationTable(rows: readonly JudgedRow[]): FigureTable {
  const share = (value: number | null | undefined) => (value == null ? null : 100 * value);
  return {
    columns: [
      { key: 'study', label: 'Study' },
      { key: 'case', label: 'Cohorts of' },
      { key: 'quantity', label: 'Quantity' },
      { key: 'claim', label: 'Promise' },
      { key: 'covered', label: 'Truth held', unit: '%' },
      { key: 'covered_low', label: 'from', unit: '%' },
      { key: 'covered_high', label: 'to', unit: '%' },
      { key: 'standing', label: 'Standing' },
      { key: 'meaningful', label: 'Said to matter', unit: '%' },
      { key: 'meaningful_low', label: 'from', unit: '%' },
      { key: 'meaningful_high', label: 'to', unit: '%' },
      { key: 'nothing_there', label: 'Nothing there' },
      { key: 'false_alarms', label: 'False alarms' },
      { key: 'truth', label: 'Planted' },
      { key: 'bias', label: 'Bias' },
      { key: 'bias_error', label: 'Error of bias' },
      { key: 'cohorts', label: 'Cohorts' },
      { key: 'answered', label: 'With an interval' },
      { key: 'why', label: 'What is known of it' },
    ],
    rows: rows.map((row) => ({
      study: row.study,
      case: row.case,
      quantity: row.quantity,
      claim: row.covered === null ? '' : CLAIMS[row.claim],
      covered: share(row.covered),
      covered_low: share(row.coveredInterval?.[0]),
      covered_high: share(row.coveredInterval?.[1]),
      standing: row.covered === null ? '' : STANDINGS[row.standing],
      meaningful: share(row.meaningful),
      meaningful_low: share(row.meaningfulInterval?.[0]),
      meaningful_high: share(row.meaningfulInterval?.[1]),
      nothing_there: row.nothingThere ? 'yes' : 'no',
      false_alarms: ALARMS[row.falseAlarms],
      truth: row.truth,
      bias: row.bias,
      bias_error: row.standardError,
      cohorts: row.cohorts,
      answered: row.answered,
      why: row.why,
    })),
  };
}
