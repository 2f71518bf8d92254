import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { op } from 'arquero';
import { describe, expect, it } from 'vitest';
import { outOfDate } from '../../data-schemas/generate.ts';
import {
  datasetFromRows,
  packageDescriptor,
  starterFiles,
  TABLE_NAMES,
  tableSchema,
  toArquero,
} from '../../src/dataset/index.ts';
import { metricCatalogue } from '../../src/kinematics/index.ts';

/** What the Data Package standard (version 2, datapackage.org, and 1) asks of a descriptor, in our own words. */
const profile = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(readFileSync(new URL('./data-package-standard.json', import.meta.url), 'utf8')),
);

describe('what is generated', () => {
  it('follows from the schemas as they stand', () => {
    expect(outOfDate()).toEqual([]);
  });
});

describe('the tables', () => {
  // The columns of the dataset's specification, needed ones first marked with *.
  it.each([
    ['golfers', 'golfer_id* plays* handicap_index age_band height_cm consent_scope consent_date'],
    ['instructors', 'instructor_id* joined_on'],
    ['sessions', 'session_id* golfer_id* instructor_id date* phase* device rate_hz surface'],
    ['swings', 'swing_id* session_id* order_in_session* task* club speed_intent_pct'],
    ['assignments', 'golfer_id* trial_id* arm* assigned_on* stratum'],
    ['practice', 'golfer_id* date* drill reps speed_pct distance_m ground_first_count'],
    ['captures', 'swing_id* file* sha256* layout'],
  ] as const)('%s has its columns', (name, columns) => {
    const own = tableSchema(name)
      .fields.map((field) => `${field.name}${field.constraints?.required ? '*' : ''}`)
      .slice(0, columns.split(' ').length);
    expect(own.join(' ')).toBe(columns);
  });

  it('swings has every metric, with its uncertainty where it is a measurement, and then the time of day', () => {
    const rest = tableSchema('swings')
      .fields.slice(6)
      .map((field) => field.name);
    expect(rest.pop()).toBe('time_of_day');
    expect(rest).toEqual(
      metricCatalogue.flatMap(({ column, kind }) =>
        kind === 'number' ? [column, `${column}_sd`] : [column],
      ),
    );
  });

  it('refer only to tables and columns there are', () => {
    for (const name of TABLE_NAMES)
      for (const { fields, reference } of tableSchema(name).foreignKeys ?? []) {
        expect(tableSchema(name).fields.map((field) => field.name)).toContain(fields[0]);
        expect(tableSchema(reference.resource).primaryKey).toEqual(reference.fields);
      }
  });
});

describe('descriptors', () => {
  it('of all tables with all columns fit the standard', () => {
    const all = TABLE_NAMES.map((name) => ({
      name,
      columns: tableSchema(name).fields.map((field) => field.name),
    }));
    expect(
      profile(packageDescriptor(all, { title: 'All', description: 'Every column' })),
      JSON.stringify(profile.errors),
    ).toBe(true);
  });

  it('of a starter folder fit the standard and name its files', () => {
    const files = starterFiles();
    const descriptor = JSON.parse(files['datapackage.json'] ?? '');
    expect(profile(descriptor), JSON.stringify(profile.errors)).toBe(true);
    for (const { path, schema } of descriptor.resources)
      expect(files[path]).toBe(`${schema.fields.map((field: { name: string }) => field.name).join(',')}\n`);
  });

  it('leave out a foreign key to a table that is not there', () => {
    const descriptor = packageDescriptor([
      { name: 'sessions', columns: ['session_id', 'golfer_id', 'instructor_id', 'date', 'phase'] },
      { name: 'golfers', columns: ['golfer_id', 'plays'] },
    ]);
    const [sessions] = descriptor.resources as { schema: { foreignKeys: unknown[] } }[];
    expect(sessions?.schema.foreignKeys).toEqual([
      { fields: ['golfer_id'], reference: { resource: 'golfers', fields: ['golfer_id'] } },
    ]);
  });

  it('the check itself can fail', () => {
    expect(profile({ resources: [] })).toBe(false);
    expect(profile({ resources: [{ name: 'x', path: '../x.csv' }] })).toBe(false);
    expect(
      profile({
        resources: [{ name: 'x', path: 'x.csv', schema: { fields: [{ name: 'a', type: 'decimal' }] } }],
      }),
    ).toBe(false);
    expect(
      profile({
        resources: [
          { name: 'x', path: 'x.csv', schema: { fields: [{ name: 'a', type: 'number', example: 3 }] } },
        ],
      }),
    ).toBe(false);
  });
});

describe('toArquero', () => {
  it('gives the columns that are there, missing as missing', () => {
    const made = datasetFromRows({
      golfers: [{ golfer_id: 'G01', plays: 'left' }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
      swings: [
        {
          swing_id: 'W1',
          session_id: 'S1',
          order_in_session: 1,
          task: 'full',
          club_speed_mps: 36.5,
          ground_first: true,
        },
        {
          swing_id: 'W2',
          session_id: 'S1',
          order_in_session: 2,
          task: 'full',
          club: 'iron-7',
          ground_first: false,
        },
        { swing_id: 'W3', session_id: 'S1', order_in_session: 3, task: 'full', club_speed_mps: 37.5 },
      ],
    });
    if (!made.valid) throw new Error(JSON.stringify(made.problems));
    const table = toArquero(made.value.tables.swings);
    expect(table.columnNames()).toEqual([
      'swing_id',
      'session_id',
      'order_in_session',
      'task',
      'club',
      'club_speed_mps',
      'ground_first',
    ]);
    expect(table.array('club')).toEqual([null, 'iron-7', null]);
    expect(table.array('ground_first')).toEqual([true, false, null]);
    // The mean of 36.5 and 37.5, the missing one left aside.
    expect(
      table.rollup({ mean: (d: { club_speed_mps: number }) => op.mean(d.club_speed_mps) }).get('mean', 0),
    ).toBe(37);
  });
});
