/** What a person is told of a JSON document typed wrong: which texts are JSON is ECMA-404's to say (as the language reads it). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readTypedJson } from '../../src/dataset/index.ts';

const read = (text: string) => readTypedJson(new TextEncoder().encode(text));
const found = (text: string) => {
  const outcome = read(text);
  return outcome.ok ? 'JSON' : outcome.found.replace('text that is not JSON: ', '');
};

function expectPlace(text: string): void {
  const words = found(text);
  if (text.trim() === '') {
    expect(words).toBe('the file is empty');
    return;
  }
  const [, line, column] = /^line (\d+), column (\d+): /.exec(words) ?? [];
  const lines = text.split(/\r\n|\r|\n/);
  expect(Number(line)).toBeLessThanOrEqual(lines.length);
  expect(Number(column)).toBeLessThanOrEqual(lines[Number(line) - 1]!.length + 1);
}

describe('a JSON document that a person typed', () => {
  it.each([
    [
      'a comma that is missing',
      '{\n  "seed": 1\n  "level": 0.9\n}',
      'line 3, column 3: a comma was expected, at "level": 0.9',
    ],
    ['one too many in a list', '{"a": [1,2,]}', 'line 1, column 12: a value was expected, at ]}'],
    [
      'one too many at the end',
      '{"a": 1,\r\n}',
      'line 2, column 1: a name in double quotes was expected, at }',
    ],
    ['a comment', '// mine\n{}', 'line 1, column 1: a comment, which JSON does not have, at // mine'],
    ['a quote not closed', '{\r  "a": "x\r}', 'line 2, column 8: a text without its closing quote, at "x'],
    [
      'a brace not closed',
      '{"a": 1',
      'line 1, column 8: a closing brace } was expected, at the end of the line',
    ],
    [
      'a backslash',
      '{"a": "C:\\data"}',
      'line 1, column 7: a backslash that means nothing here (a backslash itself is typed twice), at "C:\\data"}',
    ],
    ['nothing', ' \n', 'the file is empty'],
  ])('%s', (_name, text, words) => {
    expect(found(text)).toBe(words);
  });

  it.each(['{“a”: 1}', "{'a': 1}", '{a: 1}', '{"a": yes}', '{"a": NaN}', '{"a": 1.}'])(
    'says of %s where it is wrong',
    (text) => {
      expect(found(text)).toMatch(/^line 1, column \d+: what stands there is no JSON/);
    },
  );

  it('does not take bytes for text that are none, and takes a byte-order mark', () => {
    expect(readTypedJson(Uint8Array.from([0x7b, 0xff, 0x7d]))).toEqual({
      ok: false,
      found: 'bytes that are not text in UTF-8',
    });
    expect(read('\uFEFF{"a": 1}')).toEqual({ ok: true, value: { a: 1 } });
  });

  it('reads what the language reads, and names a place inside the text for everything else', () => {
    fc.assert(
      fc.property(
        fc.json(),
        fc.nat(),
        fc.constantFrom('', ',', '"', '}', ']', 'x', '\\', '\n'),
        (json, at, put) => {
          const place = at % (json.length + 1);
          const text = `${json.slice(0, place)}${put}${json.slice(place + (put === '' ? 1 : 0))}`;
          let value: unknown;
          try {
            value = JSON.parse(text);
          } catch {
            expectPlace(text);
            return;
          }
          expect(read(text)).toEqual({ ok: true, value });
        },
      ),
      { numRuns: 2000 },
    );
  });
});
