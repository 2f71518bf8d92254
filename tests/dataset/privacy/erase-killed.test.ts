import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fullFolder, writeFiles } from './full-folder.ts';
import { killWhileErasing } from './kill-while-erasing.ts';

describe('an erasure that is killed at 60 random moments', () => {
  it('leaves the old folder or the new one, never something between', { timeout: 240_000 }, async () => {
    const source = await mkdtemp(join(tmpdir(), 'full-folder-'));
    try {
      await writeFiles(source, fullFolder());
      const kills = await killWhileErasing(source, 'G1', 60);
      expect(kills.between).toEqual([]);
      // Only the pen of a lock, without any data, may lie there.
      expect(kills.beside.filter((name) => !name.startsWith('.data.lock-'))).toEqual([]);
      expect(kills.old + kills.new).toBe(60);
      // Both happen, or the moments were not spread over the work.
      expect(Math.min(kills.old, kills.new)).toBeGreaterThan(0);
    } finally {
      await rm(source, { recursive: true });
    }
  });
});
