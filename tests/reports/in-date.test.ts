import { expect, it } from 'vitest';
import { outOfDate } from '../../reports/render.ts';

it('reports/ is, byte for byte, what the demo roster and the cohorts of the studies give today', async () => {
  expect(await outOfDate()).toEqual([]);
}, 900_000);
