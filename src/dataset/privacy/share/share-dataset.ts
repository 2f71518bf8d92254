import { randomBytes } from 'node:crypto';
import { stat } from 'node:fs/promises';
import { keepGolfers } from '../../keep-golfers.ts';
import { loadDataset } from '../../load.ts';
import { type FilePieces, fillNewFolder } from '../../new-files.ts';
import type { Checked, Problem } from '../../problem.ts';
import { replaceFolder } from '../../replace-folder.ts';
import { datasetFiles } from '../../write.ts';
import { derivedKey } from '../codes.ts';
import { namesKnownIn } from '../imports/known-imports.ts';
import { codesOf, recoded } from '../recode.ts';
import { captureTable, type RecodedCaptures, recodedCaptures, recodedCurves } from '../recode-files.ts';
import { type ConsentGap, consents, SCOPES, type Scope } from './consent.ts';
import { blanked, type Disclosure, disclosedColumn, disclosureOf, tellsPractice } from './disclosed.ts';
import { pastShares, SHARES_FILE, withShare } from './past-shares.ts';
import { shareReadme } from './share-readme.ts';
import { VISIT_LEVELS } from './visits.ts';

/** What is to be shared, for which purpose, and where it goes. */
export interface ShareRequest {
  readonly folder: string;
  readonly out: string;
  readonly scope: Scope;
  /** Gives the same codes in every export of the same scope; without it codes are drawn anew and cannot be undone by anybody. */
  readonly key?: Uint8Array;
  /** Whether captures come along: a movement, and the lengths of the limbs in it, can be recognised. */
  readonly withCaptures?: boolean;
}

/** What is in an export, and what is not: exact numbers, for whoever makes it and for nobody else. */
export interface Shared {
  readonly golfers: number;
  readonly sessions: number;
  readonly swings: number;
  readonly captures: number;
  /** Captures, by their old names, that could not be read or freed of their texts, and are not in it. */
  readonly capturesLeftOut: readonly string[];
  /** How many exports were made of this roster before; who came or went since is shown only where five or more did. */
  readonly earlier: number;
  /** Golfers left out, by why. `stands out`: fewer than five would share what is said of them, here
   * and in earlier exports. */
  readonly leftOut: Readonly<Record<ConsentGap | 'narrower consent' | 'stands out', number>>;
  /** How coarsely each attribute is stated: 0 is the finest. */
  readonly coarseness: {
    readonly age: number;
    readonly handicap: number;
    readonly height: number;
    readonly visits: string;
    readonly instructor: boolean;
    readonly stratum: boolean;
    /** Whether it is said behind which visit somebody practised; false too where nobody did. */
    readonly practice: boolean;
  };
  /** Cells that are empty in the export and were not, by `table.column`. */
  readonly cellsEmptied: Readonly<Record<string, number>>;
  /** Columns that nobody but you knows the meaning of. */
  readonly columnsLeftOut: readonly string[];
}

/**
 * Writes an export for handing on, of the golfers whose consent covers the scope; minors only where a guardian consented.
 * Ids are replaced, dates are on a calendar of the golfer's own, free texts and extra columns stay behind, and what could
 * single a golfer out is said so coarsely that five or more share it (see {@link disclosureOf}), also where exports of two
 * scopes, or of the roster before and after a golfer came or went, are subtracted. Golfers who would still stand out are left
 * out. Which golfer was in which export is remembered in the roster's folder ({@link SHARES_FILE}), which is replaced for it,
 * before the export stands, and otherwise stays as it is.
 *
 * It guards against somebody who knows how a golfer plays, age, handicap, height, arm and when they came; not against
 * somebody who holds the old dataset, or who remembers single numbers. Local law decides whether an export may be handed on.
 *
 * @throws AlreadyThereError when `out` exists and is not empty
 * @example
 * // All of the demo's golfers have consented to being studied, and to no more
 * const [study, share] = [
 *   await shareDataset({ folder: 'my-roster', out: 'for-others', scope: 'study' }),
 *   await shareDataset({ folder: 'my-roster', out: 'for-all', scope: 'share' }),
 * ];
 * study.valid // true
 * share.valid // false
 */
export async function shareDataset(request: ShareRequest): Promise<Checked<Shared>> {
  const { folder, out } = request;
  if ((await stat(folder).catch(() => null))?.isDirectory() !== true) {
    const loaded = await loadDataset(folder);
    if (!loaded.valid) return loaded;
  }
  let outcome: Checked<Shared> | undefined;
  // Remembered before it stands: the next export could be taken from one that is not remembered. One that was interrupted in
  // between is remembered though it never came, and so the next ones are only more careful.
  await fillNewFolder(out, async (put) => {
    // The lock is held, so that two exports at once know of each other.
    const end = await replaceFolder(folder, async (made) => {
      const { result, memory } = await makeExport(request, put);
      outcome = result;
      if (memory === null) return 'leave';
      await made.put(SHARES_FILE, memory);
      await made.keepOthers();
      return 'replace';
    });
    if (end === 'left') return 'leave';
  });
  return outcome!;
}

const NO_CAPTURES: RecodedCaptures = { captures: [], layouts: new Map(), unread: [] };

async function makeExport(
  request: ShareRequest,
  put: (path: string, content: FilePieces) => Promise<void>,
): Promise<{ readonly result: Checked<Shared>; readonly memory: string | null }> {
  const { folder, scope } = request;
  const loaded = await loadDataset(folder);
  if (!loaded.valid) return { result: loaded, memory: null };
  const past = await pastShares(folder);
  const consented = consents(loaded.value);
  const levelOf = new Map(
    consented.filter(({ gap }) => gap === null).map(({ golfer, level }) => [golfer, level]),
  );
  const least = SCOPES.indexOf(scope);
  const disclosure = disclosureOf(loaded.value, levelOf, past.historyOf, least);
  const { groupOf } = disclosure.generalised;
  const shown = new Set(
    [...groupOf.keys()].filter((golfer) => levelOf.get(golfer)! >= least && !disclosure.heldBack.has(golfer)),
  );
  if (shown.size === 0) {
    const problems = [...loaded.problems, nobodyLeft(scope)];
    return { result: { valid: false, problems }, memory: null };
  }

  const dataset = keepGolfers(loaded.value, shown);
  // The one thing in the project that is drawn and not seeded: whoever could draw the codes again could undo them.
  const key = derivedKey(request.key ?? randomBytes(32), `share ${scope}`);
  const codes = codesOf(dataset, key);
  const cellsEmptied: Record<string, number> = {};
  const coded = recoded(dataset, codes, await namesKnownIn(folder), (table, name, column) => {
    const changed = disclosedColumn(disclosure, dataset, table, name, column);
    const count = blanked(column, changed);
    if (count > 0) cellsEmptied[`${table}.${name}`] = count;
    return changed;
  });
  const given = coded.given.filter((name) => name !== 'captures' || request.withCaptures === true);
  const curves = await recodedCurves(folder, codes);
  const counts = countGaps(consented, disclosure, levelOf, least);
  const [age, handicap, height, visits, instructor, stratum] = disclosure.generalised.levels as readonly [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const sharedWith = ({ captures, unread }: RecodedCaptures): Shared => ({
    golfers: shown.size,
    sessions: coded.tables.sessions.length,
    swings: coded.tables.swings.length,
    captures: captures.length,
    capturesLeftOut: unread,
    earlier: past.count,
    leftOut: counts,
    coarseness: {
      age,
      handicap,
      height,
      visits: VISIT_LEVELS[visits]!,
      instructor: instructor === 0,
      stratum: stratum === 0,
      practice: tellsPractice(disclosure.generalised),
    },
    cellsEmptied,
    columnsLeftOut: loaded.value.given.flatMap((name) =>
      loaded.value.tables[name].extraColumns.map((column) => `${name}.${column}`),
    ),
  });
  const files = datasetFiles(
    { ...coded, given },
    { description: 'An export for handing on; see README.md.' },
  );
  const recordings =
    request.withCaptures === true ? await recodedCaptures(folder, dataset, codes, put) : NO_CAPTURES;
  const shared = sharedWith(recordings);
  for (const [path, content] of [...Object.entries(files), ...curves, ...recordings.layouts])
    if (path !== 'captures.csv') await put(path, content);
  if (given.includes('captures')) await put('captures.csv', captureTable(recordings.captures));
  await put('README.md', shareReadme(shared, scope));
  return {
    result: { valid: true, problems: loaded.problems, value: shared },
    memory: withShare(past, scope, new Map([...groupOf].filter(([golfer]) => shown.has(golfer)))),
  };
}

function countGaps(
  consented: ReturnType<typeof consents>,
  { generalised, heldBack }: Disclosure,
  levelOf: ReadonlyMap<string, number>,
  least: number,
): Shared['leftOut'] {
  const count = (gap: ConsentGap): number => consented.filter((one) => one.gap === gap).length;
  return {
    consent: count('consent'),
    'unknown consent': count('unknown consent'),
    minor: count('minor'),
    'age unknown': count('age unknown'),
    'narrower consent': [...levelOf.values()].filter((level) => level < least).length,
    'stands out':
      generalised.leftOut.filter((golfer) => levelOf.get(golfer)! >= least).length + heldBack.size,
  };
}

function nobodyLeft(scope: Scope): Problem {
  return {
    kind: 'not-allowed',
    severity: 'error',
    table: 'golfers',
    row: null,
    column: 'consent_scope',
    found: `no group of five golfers who agreed to "${scope}" and share what is said of them`,
    expected:
      'five or more golfers who cannot be told apart, each with consent, and minors with that of a guardian',
    remedy:
      'Look at consent_scope, age_band and consent_by. So small a group cannot be handed on without giving somebody away.',
  };
}
