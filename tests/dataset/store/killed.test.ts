import { expect, it } from 'vitest';
import { killPacks } from './killed.ts';

it('packing and unpacking, killed at 60 random moments, leave the whole of a folder or none of it', async () => {
  const { kills, amidst, whole, between } = await killPacks(60, 60, 1000);
  expect(between).toEqual([]);
  expect(kills).toBe(60);
  // How far it gets in a second depends on the machine; most kills must fall on work.
  expect(amidst + whole).toBeGreaterThan(30);
}, 180_000);
