import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';

const SESSIONS_OF_GOLFER = 4;

/** A standard normal number from a hash of `key`, so that every run writes the same file (Box and Muller 1958). */
function noise(key: string, salt: number): string {
  return `(sqrt(-2 * ln((hash(${key}, ${salt}) % 1000003 + 1) / 1000004.0)) * cos(6.283185307179586 * (hash(${key}, ${salt + 1}) % 1000003) / 1000003.0))`;
}

/**
 * Writes an invented dataset of so many swings, by the SQL engine itself: four sessions for each golfer, two before and two
 * after, half of the golfers with the drill, which moves the shaft lean by 1.5 degrees. Golfers differ, swings scatter.
 * Swings of one golfer lean 3 degrees more for each 10 degrees of true elbow straightening, 1.2 of them by way of the release:
 * 8 ms nearer to impact, 0.15 degrees for each ms. Turn and offset at impact have no part in it; the elbow is measured with an SD of 1.5.
 *
 * @param swingsOfSession so many in each of a golfer's four sessions
 * @param format one CSV file for each table, or Parquet for the swings (which `sumFile` reads)
 */
export async function writeLargeDataset(
  folder: string,
  swings: number,
  format: 'csv' | 'parquet',
  swingsOfSession = 25,
): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const golfers = Math.ceil(swings / (swingsOfSession * SESSIONS_OF_GOLFER));
  const instance = await DuckDBInstance.create(':memory:', {
    memory_limit: '512MB',
    threads: '2',
    temp_directory: folder,
  });
  const connection = await instance.connect();
  const golferOf = (g: string) => `'G' || lpad(CAST(${g} AS VARCHAR), 7, '0')`;
  const sessionOf = (s: string) =>
    `${golferOf(`${s} // ${SESSIONS_OF_GOLFER}`)} || '-S' || (${s} % ${SESSIONS_OF_GOLFER} + 1)`;
  const short = (value: string) => `regexp_replace(format('{:.2f}', ${value}), '\\.?0+$', '')`;
  const number = (value: string) => (format === 'csv' ? short(value) : `round(${value}, 2)`);
  const write = (name: string, kind: 'csv' | 'parquet', select: string) =>
    connection.run(
      `COPY (${select}) TO '${join(folder, `${name}.${kind}`)}' (${kind === 'csv' ? "FORMAT csv, HEADER, DELIMITER ','" : 'FORMAT parquet'})`,
    );
  await write(
    'golfers',
    'csv',
    `SELECT ${golferOf('g')} AS golfer_id, CASE WHEN g % 2 = 0 THEN 'right' ELSE 'left' END AS plays, ${short(`12 + 5 * ${noise('g', 3)}`)} AS handicap_index FROM range(${golfers}) AS r(g)`,
  );
  await write(
    'assignments',
    'csv',
    `SELECT ${golferOf('g')} AS golfer_id, 'T1' AS trial_id, CASE WHEN hash(g, 5) % 2 = 0 THEN 'drill' ELSE 'control' END AS arm, DATE '2026-02-01' AS assigned_on FROM range(${golfers}) AS r(g)`,
  );
  await write(
    'sessions',
    'csv',
    `SELECT ${sessionOf('s')} AS session_id, ${golferOf(`s // ${SESSIONS_OF_GOLFER}`)} AS golfer_id, CASE s % 4 WHEN 0 THEN DATE '2026-01-05' WHEN 1 THEN DATE '2026-01-12' WHEN 2 THEN DATE '2026-04-06' ELSE DATE '2026-04-13' END AS date, CASE WHEN s % 4 < 2 THEN 'baseline' ELSE 'post' END AS phase FROM range(${golfers * SESSIONS_OF_GOLFER}) AS r(s)`,
  );
  const joined = format === 'csv' ? '' : ', golfer, phase, arm';
  /** Of the swing: how far the true elbow and the release depart from the golfer's usual. */
  const elbow = `3 * ${noise('i', 63)}`;
  const release = `(0.8 * ${elbow} + 6 * ${noise('i', 43)})`;
  await write(
    'swings',
    format,
    `SELECT session || '-' || lpad(CAST(i % ${swingsOfSession} + 1 AS VARCHAR), ${swingsOfSession < 100 ? 2 : 4}, '0') AS swing_id, session AS session_id,
      i % ${swingsOfSession} + 1 AS order_in_session, 'full' AS task, 'iron-7' AS club,
      ${number(`85 + 8 * ${noise('g', 11)} + 4 * ${noise('i', 13)}`)} AS trail_elbow_flexion_top_deg,
      ${number(`-9 + 5 * ${noise('g', 61)} + ${elbow} + 1.5 * ${noise('i', 65)}`)} AS transition_elbow_change_deg,
      1.5 AS transition_elbow_change_deg_sd,
      ${number(`4 + 2 * ${noise('g', 21)} + ${noise('session', 25)} + 3 * ${noise('i', 23)} - 0.18 * ${elbow} - 0.15 * ${release} + CASE WHEN phase = 'post' AND arm = 'drill' THEN 1.5 ELSE 0 END`)} AS shaft_lean_impact_deg,
      ${number(`36 + 2 * ${noise('g', 31)} + 0.6 * ${noise('i', 33)}`)} AS club_speed_mps,
      ${number(`60 + 6 * ${noise('g', 41)} + ${release}`)} AS release_onset_ms,
      ${number(`4 + 3 * ${noise('i', 53)}`)} AS low_point_cm,
      ${number(`40 + 5 * ${noise('g', 71)} + 4 * ${noise('i', 73)}`)} AS pelvis_turn_impact_deg,
      ${number(`20 + 2 * ${noise('g', 81)} + 2 * ${noise('i', 83)}`)} AS impact_offset_mm,
      ${format === 'csv' ? "CASE WHEN hash(i, 7) % 3 = 0 THEN 'yes' ELSE 'no' END" : 'hash(i, 7) % 3 = 0'} AS ground_first${joined}
    FROM (SELECT i, i // ${swingsOfSession * SESSIONS_OF_GOLFER} AS g, ${golferOf(`i // ${swingsOfSession * SESSIONS_OF_GOLFER}`)} AS golfer,
        ${sessionOf(`(i // ${swingsOfSession})`)} AS session,
        CASE WHEN (i // ${swingsOfSession}) % 4 < 2 THEN 'baseline' ELSE 'post' END AS phase,
        CASE WHEN hash(i // ${swingsOfSession * SESSIONS_OF_GOLFER}, 5) % 2 = 0 THEN 'drill' ELSE 'control' END AS arm
      FROM range(${swings}) AS r(i))`,
  );
  connection.closeSync();
  instance.closeSync();
}
