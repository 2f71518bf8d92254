/** A dataset that stands already and whose tables cannot be written again without losing something is left as it is. */
import { expect, it } from 'vitest';
import { inTempFolder } from '../roster.ts';
import { folderOf, imported, pictureOf, saidBy } from './importing.ts';
import { lessonOf } from './lesson.ts';

const STANDING = {
  'golfers.csv': 'golfer_id,plays\nK01,left\n',
  'sessions.csv': 'session_id,golfer_id,date,phase\nK1,K01,2025-01-02,baseline\n',
  'swings.csv': 'swing_id,session_id,order_in_session,task,club_speed_mps\nKW1,K1,1,full,40.5\n',
};

it.each([
  ['a quote that is never closed', `${STANDING['swings.csv']}"KW2,K1,2,full,41\n`, 'never closed'],
  ['a row that is too long', `${STANDING['swings.csv']}KW2,K1,2,full,41,9\n`, '6 cells'],
  ['a row that is too short', `${STANDING['swings.csv']}KW2,K1,2,full\n`, '4 cells'],
  ['semicolons', STANDING['swings.csv'].replaceAll(',', ';'), 'semicolons'],
])('with %s', async (_what, swings, words) => {
  await inTempFolder(async (root) => {
    const data = `${root}/data`;
    await folderOf(data, { ...STANDING, 'swings.csv': swings });
    const before = await pictureOf(data);
    const result = await imported(new TextEncoder().encode(lessonOf(1)), 'lesson.csv', data);
    expect(result.ok).toBe(false);
    expect(saidBy(result)).toContain(words);
    expect(saidBy(result)).toContain('swings.csv');
    expect(await pictureOf(data)).toBe(before);
  });
});
