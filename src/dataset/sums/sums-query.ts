import { reasonsToLeaveOut, type SumsColumn, type SumsPlan, sumsColumns } from '../../stats/index.ts';
import { sqlName, sqlNumber } from './sql-text.ts';

/**
 * The SQL that makes the table of sums of a plan (`sumsColumns` says what its columns are): plain standard SQL, one
 * SELECT with one GROUP BY, which reads the source once. Names of columns are quoted.
 *
 * @param source the table as SQL: a quoted name (`sqlTable`), or a call that reads a file
 * @param centres for each number of the plan, and the outcome last, a constant near its mean, which is written into the
 *   text; without them the text asks for the means itself, and an engine then reads the source a second time
 * @example
 * const planned = planSums({ outcome: 'y', fixed: ['intercept'] });
 * sumsQuery(planned.plan, sqlTable('swings')).includes('FROM "swings"') // true
 */
export function sumsQuery(plan: SumsPlan, source: string, centres: readonly number[] | null = null): string {
  const { model, keys, numbers, sums } = plan;
  const weighted = model.weights !== undefined;
  const number = (column: string) => `CAST(s.${sqlName(column)} AS DOUBLE PRECISION)`;
  const outcome =
    model.offset === undefined
      ? number(model.outcome)
      : `(${number(model.outcome)} - ${number(model.offset)})`;
  const values = [...numbers.map(number), outcome];

  const conditions = reasonsToLeaveOut(plan).map(({ column, what }, r) => {
    const condition = {
      missing: () => `s.${sqlName(column)} IS NULL`,
      // Infinity less infinity, and what is no number, are not zero.
      'not finite': () => `${number(column)} - ${number(column)} <> 0`,
      'not above zero': () => `${number(column)} <= 0`,
    }[what]();
    return `      WHEN ${condition} THEN ${r + 1}`;
  });
  const inner = [
    `    CASE\n${conditions.join('\n')}\n      ELSE 0\n    END AS left_out`,
    ...keys.map((key, k) => `    s.${sqlName(key)} AS key_${k + 1}`),
    ...(weighted ? [`    ${number(model.weights!)} AS weight`] : []),
    ...values.map((_, k) => `    c.centre_${k + 1} AS centre_${k + 1}`),
    ...values.map((value, k) => `    ${value} - c.centre_${k + 1} AS x_${k + 1}`),
  ];
  const centre = values.map(
    (value, k) =>
      `${centres ? sqlNumber(centres[k]!) : `AVG(CASE WHEN ${value} - ${value} = 0 THEN ${value} END)`} AS centre_${k + 1}`,
  );
  const expression = ({ kind, place, name }: SumsColumn): string => {
    switch (kind) {
      case 'left out':
      case 'key':
        return name;
      case 'rows':
        return `COUNT(*) AS ${name}`;
      case 'log weights':
        return `SUM(CASE WHEN weight > 0 THEN LN(weight) END) AS ${name}`;
      case 'centre':
        return `MIN(${name}) AS ${name}`;
      case 'plain sum':
        return `SUM(x_${place + 1}) AS ${name}`;
      case 'sum': {
        const factors = sums[place]!.flatMap((power, k) => new Array<string>(power).fill(`x_${k + 1}`));
        return `SUM(${[...(weighted ? ['weight'] : []), ...factors].join(' * ')}) AS ${name}`;
      }
    }
  };
  const groups = ['left_out', ...keys.map((_, k) => `key_${k + 1}`)].join(', ');
  return `SELECT
${sumsColumns(plan)
  .map((column) => `  ${expression(column)}`)
  .join(',\n')}
FROM (
  SELECT
${inner.join(',\n')}
  FROM ${source} AS s
  CROSS JOIN (
    SELECT ${centre.join(',\n      ')}${centres ? '' : `\n    FROM ${source} AS s`}
  ) AS c
) AS r
GROUP BY ${groups}
ORDER BY ${groups}
`;
}
