import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readKey } from '../../dataset/index.ts';
import { findChromium } from '../../report/index.ts';
import type { Given } from '../command.ts';
import { gather } from '../export/gather.ts';
import { pack } from '../export/pack.ts';
import { isDay, noChromium, unfitDate, unfitOut } from '../export/request-faults.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';
import { reportGiven } from '../verify/report-given.ts';

/** Packs a report with all that a stranger needs to make it again, and with nobody's data who did not consent. */
export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out') ?? '';
  const date = textOption(given, 'date');
  const chromium = given.options.pdf === true ? findChromium() : null;
  const report = await reportGiven(given.arguments[0] ?? '');
  const faults = [
    ...(await unfitOut(out)),
    ...(date === undefined || isDay(date) ? [] : [unfitDate(date)]),
    ...(given.options.pdf === true && chromium === null ? [noChromium()] : []),
    ...(report.kind === 'wrong' ? [report.fault] : []),
  ];
  if (faults.length > 0 || report.kind === 'wrong') return refused(2, faults);
  const keyFile = textOption(given, 'key');
  const key =
    keyFile === undefined ? null : await readKey(keyFile, { dataset: textOption(given, 'data') ?? '.' });
  if (key?.ok === false) return refused(2, key.problems);
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-export-'));
  try {
    const parts = await gather(report, given, scratch, key?.value.bytes ?? null, progress);
    if (!parts.ok) return parts.result;
    return await pack(parts.value, { out, date, chromium, license: textOption(given, 'license') }, progress);
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}
