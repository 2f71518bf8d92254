import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../src/dataset/index.ts';
import {
  archiveReadme,
  type CrateFile,
  compareDocuments,
  crateMetadata,
  zipArchive,
} from '../../src/report/index.ts';
import { crateFaults } from './crate-faults.ts';

describe('compareDocuments', () => {
  it('says which number moved and by how much, by the name of its entry', () => {
    const was = {
      estimates: [
        { name: 'effect', value: 2 },
        { name: 'noise', value: 1 },
      ],
      words: 'a',
    };
    const now = {
      estimates: [
        { name: 'noise', value: 1 },
        { name: 'effect', value: 2.5 },
      ],
      words: 'a',
    };
    expect(compareDocuments(was, now)).toEqual([
      { path: 'estimates[effect].value', kind: 'number', was: 2, now: 2.5, by: 0.5 },
    ]);
  });
  it('tells the order of named entries, and lists without names by place', () => {
    const [a, b] = [{ name: 'a' }, { name: 'b' }];
    expect(compareDocuments([a, b], [b, a])).toMatchObject([{ was: 'a, b', now: 'b, a', kind: 'words' }]);
    expect(compareDocuments([1, 2, 3], [1, 5])).toEqual([
      { path: '[1]', kind: 'number', was: 2, now: 5, by: 3 },
      { path: '[2]', kind: 'gone', was: 3, now: null, by: null },
    ]);
  });
  it('tells texts of the same words number by number, and a hash or a code as a whole', () => {
    expect(compareDocuments('by 1,204.5 deg (0.2 to −3)', 'by 1,204.5 deg (0.3 to −4)')).toMatchObject([
      { path: ', number 2 in the text', was: '0.2', now: '0.3' },
      { was: '−3', now: '−4', by: -1 },
    ]);
    expect(compareDocuments('G01', 'G02')).toMatchObject([{ kind: 'words', was: 'G01', now: 'G02' }]);
    expect(compareDocuments('ab12cd', 'ab13cd')).toMatchObject([{ kind: 'words' }]);
  });
  it('takes a number that could be worked out and cannot any more as moved', () => {
    expect(compareDocuments({ x: 3 }, { x: null })).toEqual([
      { path: 'x', kind: 'number', was: 3, now: null, by: null },
    ]);
  });
  it('finds nothing in a document and itself, and something in any two whose texts differ', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.jsonValue(), (a, b) => {
        const copy: unknown = JSON.parse(JSON.stringify(a));
        expect(compareDocuments(JSON.parse(JSON.stringify(a)), copy)).toEqual([]);
        const [left, right] = [sorted(a), sorted(b)];
        expect(compareDocuments(JSON.parse(left), JSON.parse(right)).length > 0).toBe(left !== right);
      }),
    );
  });
});

/** JSON with keys in order, -0 as 0: the order of keys is none of a document's content. */
function sorted(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  );
}

describe('zipArchive', () => {
  const files = { 'b/ü.txt': 'text\n'.repeat(1000), 'a.bin': new Uint8Array([0, 1, 255]), 'c.txt': '' };
  it('gives the same bytes whatever the order and the time zone, and Python reads back what went in', () => {
    const archive = zipArchive(files);
    const { TZ } = process.env;
    process.env.TZ = 'Pacific/Kiritimati';
    const other = zipArchive(Object.fromEntries(Object.entries(files).reverse()));
    process.env.TZ = TZ ?? 'UTC';
    expect(Buffer.compare(archive, other)).toBe(0);
    const path = join(mkdtempSync(join(tmpdir(), 'proving-range-zip-')), 'a.zip');
    writeFileSync(path, archive);
    const script =
      'import zipfile,sys,hashlib,json\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\nprint(json.dumps({n:hashlib.sha256(z.read(n)).hexdigest() for n in z.namelist()}))';
    const read = JSON.parse(execFileSync('python3', ['-c', script, path], { encoding: 'utf8' }));
    expect(read).toEqual(
      Object.fromEntries(Object.entries(files).map(([name, content]) => [name, sha256Hex(content)])),
    );
    expect(Object.keys(read)).toEqual(['a.bin', 'b/ü.txt', 'c.txt']);
  });
  it.each(['../a', '/a', 'a/../../b', 'a\\b', 'C:/a', 'a//b', './a'])('refuses the path %s', (path) => {
    expect(() => zipArchive({ [path]: 'x' })).toThrow(/leads out of the archive/);
  });
});

describe('crateMetadata', () => {
  const file = (path: string, role: CrateFile['role']): CrateFile => ({
    path,
    content: `content of ${path}`,
    name: path,
    description: 'a file',
    role,
  });
  const files = [
    file('data/swings.csv', 'input'),
    file('report/50% of it.csv', 'result'),
    file('data/Schläge.csv', 'input'),
    file('README.md', 'about'),
  ];
  const about = {
    name: 'A question?',
    description: 'An answer.',
    datePublished: '2031-04-01',
    license: null,
    software: { name: 'proving-range', version: '0.1.0' },
    measured: { column: 'shaft_lean_impact_deg', unit: 'deg', meaning: 'Lean.' },
    files,
  };
  it('meets every MUST of RO-Crate 1.2 for an attached package (https://w3id.org/ro/crate/1.2)', () => {
    expect(crateFaults(crateMetadata(about), files)).toEqual([]);
    const licensed = { ...about, license: 'https://creativecommons.org/licenses/by/4.0/', measured: null };
    expect(crateFaults(crateMetadata(licensed), files)).toEqual([]);
  });
  it('names what went in and what came out, with size and SHA-256', () => {
    const graph = JSON.parse(crateMetadata(about))['@graph'] as Record<string, unknown>[];
    const run = graph.find((entity) => entity['@type'] === 'CreateAction');
    expect(run?.object).toEqual([{ '@id': 'data/swings.csv' }, { '@id': 'data/Schläge.csv' }]);
    expect(run?.result).toEqual([{ '@id': 'report/50%25%20of%20it.csv' }]);
    expect(graph.find((entity) => entity['@id'] === 'README.md')).toMatchObject({
      contentSize: String('content of README.md'.length),
      sha256: sha256Hex('content of README.md'),
      encodingFormat: 'text/markdown',
    });
  });
});

describe('archiveReadme', () => {
  it('shows hostile text as text', () => {
    const readme = archiveReadme({
      question: 'Does <script>alert(1)</script>\n# it [work](http://x)?',
      answer: '`rm -rf` | yes',
      software: { name: 'proving-range', version: '0.1.0' },
      files: [],
      commands: [{ why: 'To verify:', words: 'verify ARCHIVE/report' }],
      consent: 'All.',
      notes: [],
    });
    expect(readme.split('\n')[0]).toBe(
      '# Does \\<script\\>alert(1)\\</script\\> \\# it \\[work\\](http://x)?',
    );
    expect(readme).toContain('\\`rm -rf\\` \\| yes');
  });
});

it('the check of RO-Crate can fail', () => {
  const crate = {
    '@context': 'https://w3id.org/ro/crate/1.2/context',
    '@graph': [{ '@id': './', '@type': 'Dataset', name: 'No licence, no descriptor', hasPart: [] }],
  };
  expect(crateFaults(JSON.stringify({ ...crate, '@graph': [...crate['@graph']] }), [])).toEqual(
    expect.arrayContaining(['a metadata descriptor', 'a root data entity', 'root license']),
  );
});
