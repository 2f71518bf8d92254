import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, sha256Hex } from '../../src/dataset/index.ts';

describe('sha256Hex', () => {
  // FIPS 180-4 example vectors (NIST, "SHA256.pdf" of the example values): the empty text is from the CAVP short messages.
  it.each([
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('of %j', (text, hash) => {
    expect(sha256Hex(text)).toBe(hash);
    expect(sha256Hex(new TextEncoder().encode(text))).toBe(hash);
  });
});

describe('canonicalJson', () => {
  it('sorts keys at every depth and leaves out undefined', () => {
    expect(canonicalJson({ b: { y: 1, x: [2, { d: 1, c: 2 }] }, a: undefined })).toBe(
      '{"b":{"x":[2,{"c":2,"d":1}],"y":1}}',
    );
  });

  it('keeps the order given when asked to, and indents', () => {
    expect(canonicalJson({ b: 1, a: 2 }, { sortKeys: false, indent: 1 })).toBe('{\n "b": 1,\n "a": 2\n}');
  });

  it('writes typed arrays as lists, and -0 as 0', () => {
    expect(canonicalJson(Float64Array.of(0.1, -0, 1e21))).toBe('[0.1,0,1e+21]');
  });

  it('keeps a key named __proto__ as a key', () => {
    expect(canonicalJson(JSON.parse('{"__proto__":{"a":1}}'))).toBe('{"__proto__":{"a":1}}');
  });

  it.each([
    [{ a: [1, Number.NaN] }, '/a/1 is NaN'],
    [{ a: { b: Number.NEGATIVE_INFINITY } }, '/a/b is -Infinity'],
    [[undefined], '/0 is undefined'],
    [{ f: () => 1 }, '/f is function'],
    [{ n: 1n }, '/n is bigint'],
  ])('refuses what JSON cannot hold, with the path (%#)', (value, words) => {
    expect(() => canonicalJson(value)).toThrow(words);
  });

  it('refuses a cycle, and takes the same object twice', () => {
    const loop: Record<string, unknown> = {};
    loop.self = loop;
    expect(() => canonicalJson(loop)).toThrow('/self is a cycle');
    const shared = { a: 1 };
    expect(canonicalJson([shared, shared])).toBe('[{"a":1},{"a":1}]');
  });

  it('does not depend on the order in which keys were added, and reads back the same', () => {
    fc.assert(
      fc.property(
        fc.dictionary(
          fc.string(),
          fc.oneof(
            fc.double({ noNaN: true, noDefaultInfinity: true }),
            fc.string(),
            fc.boolean(),
            fc.constant(null),
          ),
          { noNullPrototype: true },
        ),
        (object) => {
          const turned = Object.fromEntries(Object.entries(object).reverse());
          expect(canonicalJson(turned)).toBe(canonicalJson(object));
          expect(JSON.parse(canonicalJson(object))).toEqual(JSON.parse(JSON.stringify(object)));
        },
      ),
    );
  });
});
