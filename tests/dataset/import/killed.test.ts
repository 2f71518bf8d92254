import { expect, it } from 'vitest';
import { killImports } from './killed.ts';

it('leaves the dataset before or after an import when killed at 60 random moments', {
  timeout: 240_000,
}, async () => {
  const { between, newer, same, kills } = await killImports(60, 5, 150);
  expect(between).toEqual([]);
  expect(newer + same).toBe(kills);
  expect(newer).toBeGreaterThan(0);
});
