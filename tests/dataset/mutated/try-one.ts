import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { createStream } from '../../../src/numerics/index.ts';
import { KINDS, type Said } from './kinds.ts';
import { mutatedBytes, mutatedJson } from './mutate.ts';

export interface Trial {
  readonly kind: string;
  readonly number: number;
}

/** `valid` and `refused` are as they should be; the others are faults of ours. */
export type Outcome =
  | { readonly is: 'valid' | 'refused' }
  | { readonly is: 'crash' | 'words of the machine' | 'hang'; readonly what: string };

export type Seeds = ReadonlyMap<string, readonly Uint8Array[]>;

/** The whole inputs of every kind, from which the mutated ones are made. */
export async function prepared(folder: string): Promise<Seeds> {
  const seeds = new Map<string, readonly Uint8Array[]>();
  for (const [name, kind] of Object.entries(KINDS)) {
    const own = join(folder, String(seeds.size));
    await mkdir(own, { recursive: true });
    seeds.set(name, await kind.seeds(own));
  }
  return seeds;
}

const SEED = 8;
/** What a program says to its programmer, and no coach should read. */
const MACHINE =
  /\bis not (?:a function|iterable|defined)\b|Cannot (?:read|convert|set|destructure)|Invalid (?:array|typed array|string) length|\[object Object\]|(?:Type|Range|Reference)Error|Maximum call stack|\bat .+\.(?:ts|js):\d+|no fault of ours/;

export function inputOf({ kind, number }: Trial, seeds: Seeds): Uint8Array {
  const stream = createStream(SEED, kind, String(number));
  const whole = seeds.get(kind)!;
  const bytes = whole[number % whole.length]!;
  return KINDS[kind]!.json ? mutatedJson(bytes, stream) : mutatedBytes(bytes, stream);
}

export async function tryOne(trial: Trial, seeds: Seeds, folder: string): Promise<Outcome> {
  const bytes = inputOf(trial, seeds);
  let said: Said;
  try {
    said = await KINDS[trial.kind]!.run(bytes, folder);
  } catch (error) {
    const [message, place] = (error instanceof Error ? (error.stack ?? error.message) : String(error))
      .split('\n')
      .map((line) => line.trim().replace(/\(?(?:file:\/\/)?\/.*\/(?=(?:src|tests|node_modules)\/)/, '('));
    return { is: 'crash', what: `${message} ${place ?? ''}`.slice(0, 300) };
  }
  if (({} as Record<string, unknown>).a !== undefined)
    return { is: 'crash', what: 'a prototype was changed' };
  const bad = said.words.find((words) => MACHINE.test(words));
  if (bad !== undefined) return { is: 'words of the machine', what: bad.slice(0, 300) };
  return { is: said.valid ? 'valid' : 'refused' };
}
