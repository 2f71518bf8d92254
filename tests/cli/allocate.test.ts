import { appendFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { newFolder, type } from './harness.ts';

const PLAN = fileURLToPath(new URL('../../synthetic/demo/plan.json', import.meta.url));
const SEED = ['--seed', '8214007315529'];

it('prints lines that assignments.csv of a starter folder takes as they are', async () => {
  const data = await newFolder('roster');
  expect((await type('init', data)).exit).toBe(0);
  await writeFile(
    join(data, 'golfers.csv'),
    'golfer_id,plays,handicap_index\nG01,right,4\nG02,left,12\nG03,right,20\nG04,right,28\n',
  );
  const list = join(await newFolder('.'), 'list');
  const sealing = ['--plan', PLAN, '--strata', 'handicap_index', '--out', list];
  expect((await type('allocate', '--data', data, ...SEED, ...sealing)).exit).toBe(0);
  const open = ['allocate', '--data', data, ...SEED, '--open', list, '--golfer', 'all'];
  const opened = await type(...open);
  const lines = opened.out.split('\n').filter((line) => /^G0\d,/.test(line));
  expect(lines).toHaveLength(4);
  expect(lines[0]).toMatch(/^G01,T1,(drill|control),DATE,handicap_index lower$/);
  await appendFile(join(data, 'assignments.csv'), `${lines.join('\n').replaceAll('DATE', '2026-03-07')}\n`);
  const { problems } = JSON.parse((await type('check', data, '--json')).out);
  // There are no sessions yet, and that is all that is missing.
  expect(JSON.stringify(problems)).not.toContain('assignments');
  const again = await type(...open);
  expect(again.exit).toBe(2);
  expect(again.err).toContain(`entry-0001.json and on in ${list}`);
  await appendFile(join(data, 'assignments.csv'), 'G04,T1,drill\n');
  expect((await type('check', data)).out).toContain('ERROR: assignments');
});
