import type { TableName } from '../generated/rows.ts';

/** One file of a packed table. */
export interface WrittenPart {
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly rows: number;
}

/** The CSV file that a table was packed from. */
export interface CsvOrigin {
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  /** The names of its columns, where they cannot stand in the Parquet file as they are; else null. */
  readonly columns: readonly string[] | null;
}

type Resource = Readonly<Record<string, unknown>>;

const PARQUET = { format: 'parquet', mediatype: 'application/vnd.apache.parquet' };

/**
 * The resource of a table once it is packed: everything it said before, with the place, kind, hash and length of the new
 * files (`hash` and `bytes` of the Data Package standard; `parts` where there are several) and, under `csv`, what
 * `unpackDataset` needs to give the old one back.
 */
export function packedResource(before: Resource, parts: readonly WrittenPart[], csv: CsvOrigin): Resource {
  const { path: _path, bytes, hash, ...rest } = before;
  const stated = {
    ...(bytes === undefined ? {} : { bytes }),
    ...(hash === undefined ? {} : { hash }),
  };
  const only = parts.length === 1 ? parts[0]! : null;
  return {
    ...inOrderOf(before, {
      ...rest,
      path: only === null ? parts.map((part) => part.path) : only.path,
      ...PARQUET,
    }),
    bytes: parts.reduce((sum, part) => sum + part.bytes, 0),
    ...(only === null ? {} : { hash: `sha256:${only.sha256}` }),
    rows: parts.reduce((sum, part) => sum + part.rows, 0),
    ...(only !== null
      ? {}
      : {
          parts: parts.map((part) => ({
            path: part.path,
            bytes: part.bytes,
            hash: `sha256:${part.sha256}`,
            rows: part.rows,
          })),
        }),
    csv: {
      path: csv.path,
      bytes: csv.bytes,
      hash: `sha256:${csv.sha256}`,
      ...(before.format === undefined ? {} : { format: before.format }),
      ...(before.mediatype === undefined ? {} : { mediatype: before.mediatype }),
      ...(csv.columns === null ? {} : { columns: csv.columns }),
      ...(Object.keys(stated).length === 0 ? {} : { stated }),
    },
  };
}

/** A table as it will be once it is unpacked. */
export interface Unpacked {
  readonly resource: Resource;
  /** Of the CSV file; not yet known to be safe. */
  readonly path: string;
  /** Of the CSV file that was packed, where it was noted. */
  readonly sha256: string | null;
}

/** The resource of a table once it is unpacked: what it said before it was packed. */
export function unpackedResource(packed: Resource, table: TableName): Unpacked {
  const { bytes: _bytes, hash: _hash, rows: _rows, parts: _parts, csv, ...rest } = packed;
  const origin = isObject(csv) ? csv : {};
  const path = typeof origin.path === 'string' ? origin.path : `${table}.csv`;
  const stated = isObject(origin.stated) ? origin.stated : {};
  const resource: Record<string, unknown> = { ...rest, path, ...stated };
  for (const key of ['format', 'mediatype'] as const)
    if (origin[key] === undefined && csv !== undefined) delete resource[key];
    else resource[key] = origin[key] ?? (key === 'format' ? 'csv' : 'text/csv');
  const sha256 = typeof origin.hash === 'string' ? origin.hash.replace(/^sha256:/, '') : null;
  return { resource, path, sha256 };
}

/** The keys of `before` first and in its order, so that a resource stays recognisable. */
function inOrderOf(before: Resource, now: Resource): Resource {
  const keys = [...Object.keys(before).filter((key) => Object.hasOwn(now, key)), ...Object.keys(now)];
  return Object.fromEntries([...new Set(keys)].map((key) => [key, now[key]]));
}

export function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The same descriptor with resources by table put in place; those of tables it did not name come last. */
export function withResources(
  json: Readonly<Record<string, unknown>>,
  made: ReadonlyMap<string, Resource>,
): Readonly<Record<string, unknown>> {
  const left = new Map(made);
  const resources = (json.resources as readonly unknown[]).map((resource) => {
    const name = isObject(resource) ? String(resource.name) : '';
    const now = left.get(name);
    left.delete(name);
    return now ?? resource;
  });
  return { ...json, resources: [...resources, ...left.values()] };
}
