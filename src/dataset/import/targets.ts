import { isMetricColumn, metricByColumn } from '../../kinematics/index.ts';
import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import { type NumberLimits, numberLimits } from '../read/number-limits.ts';
import { type FieldSchema, tableSchema } from '../schema.ts';

/** A column of a table that a column of a spreadsheet can become. */
export interface Target {
  /** Such as `swings.club_speed_mps`. */
  readonly name: string;
  readonly table: TableName;
  readonly column: string;
  readonly field: FieldSchema;
  /** The unit it is kept in, where it has one. */
  readonly unit: string | null;
  readonly limits: NumberLimits | null;
}

/** By which another device's swings can be joined. */
export const TIME_OF_DAY = 'swings.time_of_day';

const UNIT_BY_ENDING: readonly (readonly [string, string])[] = [
  ['_cm', 'cm'],
  ['_m', 'm'],
  ['_pct', '%'],
  ['_hz', 'Hz'],
];

const targets = new Map<string, Target>(
  TABLE_NAMES.flatMap((table) =>
    tableSchema(table).fields.map((field): [string, Target] => {
      const name = `${table}.${field.name}`;
      const isNumber = field.type === 'number' || field.type === 'integer';
      return [
        name,
        {
          name,
          table,
          column: field.name,
          field,
          unit: unitOf(field.name),
          limits: isNumber ? numberLimits(field) : null,
        },
      ];
    }),
  ),
);
function unitOf(column: string): string | null {
  const measured = column.endsWith('_sd') ? column.slice(0, -3) : column;
  if (isMetricColumn(measured)) {
    const { unit } = metricByColumn(measured);
    return ['m/s', 'deg', 'deg/s', 'ms', '%', 'cm', 'mm'].includes(unit) ? unit : null;
  }
  return UNIT_BY_ENDING.find(([ending]) => column.endsWith(ending))?.[1] ?? null;
}

/** The target of that name, or undefined. */
export function targetOf(name: string): Target | undefined {
  return targets.get(name);
}

export const TARGET_NAMES: readonly string[] = [...targets.keys()];
