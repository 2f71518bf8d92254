import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatPercent, parsePercent, type WritableCell } from '../../src/notebook/index.ts';

/** Lines with what a parser trips over: markers, escapes, comments, quotes, odd blanks. */
const line = fc.oneof(
  fc.string({ maxLength: 30 }),
  fc.constantFrom(
    '// %%',
    '// // %%',
    '// // // %% [markdown]',
    '//%%',
    '  // %% x',
    '%%',
    '`// %%`',
    '// a',
    '',
    ' ',
  ),
);
const withoutBreaks = (text: string): string => text.replace(/[\r\n]/g, '');
const codeSource = fc
  .array(line.map(withoutBreaks), { maxLength: 6 })
  .map((lines) => lines.slice(0, lines.findLastIndex((entry) => entry.trim() !== '') + 1).join('\n'));
const textSource = fc
  .array(line.map(withoutBreaks), { maxLength: 6 })
  .map((lines) => lines.map((entry) => entry.replace(/^\s*%%/, 'x%%')).join('\n'));
const title = fc
  .array(fc.stringMatching(/^[A-Za-z0-9:,.'é-]+$/u), { maxLength: 4 })
  .map((words) => words.filter((word) => !word.startsWith('%')).join(' '));
const metadata = fc.record(
  {
    tags: fc.uniqueArray(fc.stringMatching(/^[a-z =[\]{}"-]+$/), { maxLength: 3 }),
    'hide-input': fc.boolean(),
    note: fc.string().map((text) => text.replace(/[\u2028\u2029]/g, '')),
    nested: fc.dictionary(
      fc.stringMatching(/^[a-z]+$/),
      fc.oneof(fc.integer(), fc.string(), fc.constant(null)),
    ),
  },
  { requiredKeys: [] },
);
const cell: fc.Arbitrary<WritableCell> = fc.oneof(
  fc.record({ kind: fc.constant('code' as const), title, metadata, source: codeSource }),
  fc.record({
    kind: fc.constantFrom('markdown' as const, 'raw' as const),
    title,
    metadata,
    source: textSource,
  }),
);

function withoutLines(text: string): WritableCell[] {
  return parsePercent(text).cells.map(({ kind, title, metadata, source }) => ({
    kind,
    title,
    metadata,
    source,
  }));
}

describe('the percent format', () => {
  it('gives back every notebook it wrote, and writes every notebook it read the same again', () => {
    fc.assert(
      fc.property(fc.array(cell, { minLength: 1, maxLength: 6 }), (cells) => {
        const text = formatPercent({ header: '', cells });
        expect(parsePercent(text).problems).toEqual([]);
        expect(withoutLines(text)).toEqual(JSON.parse(JSON.stringify(cells)));
        expect(formatPercent(parsePercent(text))).toBe(text);
      }),
      { numRuns: 500 },
    );
  });

  it('never throws, and its line numbers point into the text, whatever the text', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(line, fc.string()), { maxLength: 12 }), (lines) => {
        const text = lines.join('\n');
        const physical = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
        for (const found of parsePercent(text).cells) {
          const first = found.source.split('\n')[0] ?? '';
          if (found.source !== '') expect(physical[found.firstLine - 1]).toContain(first);
        }
      }),
      { numRuns: 500 },
    );
  });

  // The examples of https://jupytext.readthedocs.io/en/latest/formats-scripts.html, with the comment sign of TypeScript.
  it("reads the examples of the format's documentation", () => {
    const text = [
      '// %% [markdown]',
      '// This is a multiline',
      '// Markdown cell',
      '',
      '// %% [markdown]',
      '// Another Markdown cell',
      '',
      '',
      '// %%',
      '// This is a code cell',
      'class A {}',
      '',
      '// %% Optional title [md] key="value"',
      '// Text',
      '',
    ].join('\n');
    expect(withoutLines(text)).toEqual([
      { kind: 'markdown', title: '', metadata: {}, source: 'This is a multiline\nMarkdown cell' },
      { kind: 'markdown', title: '', metadata: {}, source: 'Another Markdown cell' },
      { kind: 'code', title: '', metadata: {}, source: '// This is a code cell\nclass A {}' },
      {
        kind: 'markdown',
        title: 'Optional title',
        metadata: { key: 'value', region_name: 'md' },
        source: 'Text',
      },
    ]);
  });

  it('keeps the commented YAML block at the top, code above the first marker, and Windows line ends', () => {
    const text = '\uFEFF// ---\r\n// jupyter: {}\r\n// ---\r\n\r\nconst a = 1;\r\n// %%%% Deep\r\na;\r\n';
    const { header, cells, problems } = parsePercent(text);
    expect(problems).toEqual([]);
    expect(header).toBe('// ---\n// jupyter: {}\n// ---');
    expect(cells).toEqual([
      { kind: 'code', title: '', metadata: {}, source: 'const a = 1;', markerLine: 5, firstLine: 5 },
      { kind: 'code', title: 'Deep', metadata: { cell_depth: 2 }, source: 'a;', markerLine: 6, firstLine: 7 },
    ]);
  });

  it('reports every fault at once, each with its line and what to do', () => {
    const text = [
      '// %% [picture]',
      '// %% tags=["a","a"]',
      '// %% tags=["a,b"]',
      '// %% key=value',
      '// %% name=""',
      '// %% [markdown]',
      '// fine',
      'const stray = 1;',
    ].join('\n');
    const { problems } = parsePercent(text);
    expect(problems.map((problem) => problem.line)).toEqual([1, 2, 3, 4, 5, 8]);
    for (const problem of problems) {
      expect(problem.found).not.toBe('');
      expect(problem.expected).not.toBe('');
      expect(problem.remedy).toContain('//');
    }
    expect(parsePercent(' \n').problems).toHaveLength(1);
  });

  it('refuses to write what it could not read back', () => {
    const cell = { kind: 'code' as const, title: '', metadata: {}, source: '' };
    expect(() => formatPercent({ header: '', cells: [{ ...cell, source: 'a\n' }] })).toThrow('formatPercent');
    expect(() => formatPercent({ header: '', cells: [{ ...cell, title: 'a=b' }] })).toThrow('formatPercent');
    expect(() =>
      formatPercent({ header: '', cells: [{ ...cell, kind: 'markdown', source: '%% x' }] }),
    ).toThrow('formatPercent');
  });
});
