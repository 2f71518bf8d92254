import { readFileSync } from 'node:fs';
import type { SuspectReading } from '../kinematics/index.ts';
import { TABLE_NAMES, type TableName } from './generated/rows.ts';

/** A field of a Table Schema (Frictionless standard), with the few properties we add to it. */
export interface FieldSchema {
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly type: 'string' | 'number' | 'integer' | 'boolean' | 'date';
  readonly constraints?: {
    readonly required?: boolean;
    readonly unique?: boolean;
    readonly enum?: readonly string[];
    readonly minimum?: number | string;
    readonly maximum?: number | string;
    readonly maxLength?: number;
    readonly pattern?: string;
  };
  readonly trueValues?: readonly string[];
  readonly falseValues?: readonly string[];
  /** A value as it would stand in a cell. */
  readonly example?: string;
  /** Ours: outside this closed range a value deserves a look. */
  readonly plausible?: readonly [number, number];
  /** Ours: how values look in another unit or convention. */
  readonly suspect?: readonly SuspectReading[];
  /** Ours: what a plus sign before a number may mean instead, and how to write it. */
  readonly explicitPlus?: string;
  /** Ours: words with a meaning; another word is a warning, not an error. */
  readonly knownValues?: readonly string[];
}

/** Columns whose values must stand in another table. */
export interface ForeignKey {
  readonly fields: readonly string[];
  readonly reference: { readonly resource: TableName; readonly fields: readonly string[] };
}

/** A table as data-schemas/tables describes it, in the terms of the Table Schema standard. */
export interface TableSchema {
  readonly name: TableName;
  readonly title: string;
  readonly description: string;
  readonly fields: readonly FieldSchema[];
  readonly missingValues: readonly string[];
  readonly primaryKey?: readonly string[];
  readonly foreignKeys?: readonly ForeignKey[];
}

/** The tables without which there is nothing to ask. */
export const REQUIRED_TABLES: readonly TableName[] = ['golfers', 'sessions', 'swings'];

const schemas = new Map<TableName, TableSchema>(
  TABLE_NAMES.map((name) => [
    name,
    JSON.parse(
      readFileSync(new URL(`../../data-schemas/tables/${name}.json`, import.meta.url), 'utf8'),
    ) as TableSchema,
  ]),
);

/**
 * The schema of a table, from data-schemas/tables.
 * @example tableSchema('golfers').fields[0]?.name // 'golfer_id'
 */
export function tableSchema(name: TableName): TableSchema {
  return schemas.get(name)!;
}

/**
 * Whether a field must be filled in on every row (and so its column must be there).
 * @example isRequired(tableSchema('golfers').fields[0]!) // true: no golfer without an id
 */
export function isRequired(field: FieldSchema): boolean {
  return field.constraints?.required === true;
}
