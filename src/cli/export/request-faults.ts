import { stat } from 'node:fs/promises';
import { extname } from 'node:path';
import type { Fault } from '../result.ts';

export function isDay(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));
}

export async function unfitOut(out: string): Promise<Fault[]> {
  if (extname(out) !== '.zip')
    return [
      {
        where: '--out',
        found: `"${out}"`,
        expected: 'the name of a new file that ends in .zip',
        remedy: 'add .zip to the name',
      },
    ];
  return (await stat(out).catch(() => null)) === null ? [] : [takenOut(out)];
}

export function takenOut(out: string): Fault {
  return {
    where: '--out',
    found: `"${out}", which is there already`,
    expected: 'a file that does not exist yet',
    remedy: 'give another name; nothing was written',
  };
}

export function unfitDate(found: string): Fault {
  return { where: '--date', found: `"${found}"`, expected: 'a day as year-month-day', remedy: 'correct it' };
}

export function noChromium(): Fault {
  return {
    where: '--pdf',
    found: 'no Chromium on this machine',
    expected: 'a Chromium on the PATH, or its path in the environment variable CHROMIUM',
    remedy: 'install one, or leave --pdf out and print the page from a browser',
  };
}
