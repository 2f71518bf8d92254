import fc from 'fast-check';
import { expect, it } from 'vitest';
import { hashOfText, RowsByHash } from '../../src/dataset/rows-by-hash.ts';

it('finds the row of every text and no other, as a Map does, whatever hashes meet', () => {
  fc.assert(
    fc.property(
      fc.array(fc.string({ maxLength: 3 }), { maxLength: 200 }),
      fc.constantFrom(
        (hash: number) => hash,
        (hash: number) => hash % 3,
        () => -1,
      ),
      (texts, worse) => {
        const rows = new RowsByHash();
        const map = new Map<string, number>();
        texts.forEach((text, row) => {
          const hash = worse(hashOfText(text));
          const found = rows.find(hash, (other) => texts[other] === text);
          expect(found).toBe(map.get(text) ?? -1);
          if (found >= 0) return;
          rows.add(hash, row);
          map.set(text, row);
        });
      },
    ),
    { numRuns: 300, seed: 8 },
  );
});

it('hashes texts by the published values of FNV-1a where each character is one byte', () => {
  // Fowler G, Noll LC, Eastlake D (2019) The FNV non-cryptographic hash algorithm, draft-eastlake-fnv-17, appendix C (32 bits).
  expect(hashOfText('') >>> 0).toBe(0x811c9dc5);
  expect(hashOfText('a') >>> 0).toBe(0xe40c292c);
  expect(hashOfText('foobar') >>> 0).toBe(0xbf9cf968);
});
