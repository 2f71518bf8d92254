import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, posix } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { notebookNames, reportNames } from '../../reports/site/copied-pages.ts';
import { fieldAnchor, JSON_FILES, sectionsOf } from '../../reports/site/json/json-pages.ts';
import { readSchema } from '../../reports/site/json/schema.ts';
import { libraryPart } from '../../reports/site/library/library-pages.ts';
import { areas, type PublicExport, readExports } from '../../reports/site/library/read-exports.ts';
import { sitePageHtml } from '../../reports/site/page.ts';
import { searchPage } from '../../reports/site/search-page.ts';
import { type Site, site } from '../../reports/site/site-files.ts';
import { ForeignFolderError, writeSite } from '../../reports/site/write-site.ts';
import { COMMANDS } from '../../src/cli/commands.ts';
import { TABLE_NAMES, tableSchema } from '../../src/dataset/index.ts';
import { metricCatalogue, quantityCatalogue } from '../../src/kinematics/index.ts';
import { elements, textOf } from './html-elements.ts';

/** Public functions that go without an example, as `area name`, each with the reason. */
const WITHOUT_EXAMPLE: Readonly<Record<string, string>> = {};

function withoutExample(exported: readonly PublicExport[]): readonly string[] {
  return exported
    .filter(({ kind, docstring }) => kind === 'function' && (docstring?.examples ?? []).length === 0)
    .map(({ area, name }) => `${area} ${name}`);
}

describe('the documentation site', { timeout: 120_000 }, () => {
  let built: Site;
  let exported: PublicExport[];
  const folder = mkdtempSync(join(tmpdir(), 'proving-range-site-'));
  beforeAll(async () => {
    built = site();
    exported = readExports();
    await writeSite(join(folder, 'site'), built);
  }, 120_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const known = new Map<string, Set<string>>();
  const idsOf = (path: string): Set<string> => {
    const ids =
      known.get(path) ??
      new Set(elements(built.pages.get(path)!).flatMap(({ attributes }) => attributes.id ?? []));
    known.set(path, ids);
    return ids;
  };

  it('is on disk what was built, and has the pages that everything leads to', () => {
    for (const [path, html] of built.pages)
      expect(readFileSync(join(folder, 'site', path), 'utf8')).toBe(html);
    for (const path of ['index.html', 'search.html', 'cite.html', 'changelog.html', 'federation.html'])
      expect([...built.pages.keys()]).toContain(path);
    for (const who of ['coach', 'director', 'student'])
      expect(built.pages.get('index.html')).toContain(`href="tutorials/${who}.html"`);
  });

  it('has no link and no anchor that leads nowhere, and none that leaves the site by a path', () => {
    const lost: string[] = [];
    for (const [path, html] of built.pages)
      for (const { attributes } of elements(html)) {
        const { href } = attributes;
        if (href === undefined || /^(https?|mailto):/.test(href)) continue;
        const [file, anchor] = href.split('#');
        const goal = file === '' ? path : posix.join(dirname(path), file!);
        if (built.copies.has(goal) && anchor === undefined) continue;
        if (!built.pages.has(goal) || (anchor !== undefined && !idsOf(goal).has(anchor)))
          lost.push(`${path}: ${href}`);
      }
    expect(lost).toEqual([]);
  });

  it('asks the network for nothing', () => {
    for (const [path, html] of built.pages) {
      expect(html, path).toContain("default-src 'none'");
      const loading = elements(html).filter(
        ({ name, attributes }) =>
          attributes.src !== undefined ||
          ['link', 'iframe', 'object', 'embed', 'img', 'base', 'form'].includes(name),
      );
      expect(loading, path).toEqual([]);
      expect(html.match(/@import|url\(\s*["']?(?!data:|#)/g), path).toBeNull();
    }
  });

  it.each([
    [
      'ids given once',
      (html: string) => {
        const ids = elements(html).flatMap(({ attributes }) => attributes.id ?? []);
        return ids.filter((id, k) => ids.indexOf(id) !== k);
      },
    ],
    [
      'one h1, and no heading that skips a level',
      (html: string) => {
        const levels = elements(html).flatMap(({ name }) => (/^h[1-6]$/.test(name) ? Number(name[1]) : []));
        const skips = levels.flatMap((level, k) =>
          level > (levels[k - 1] ?? 0) + 1 ? [`h${level} after h${levels[k - 1]}`] : [],
        );
        return [...skips, ...(levels.filter((level) => level === 1).length === 1 ? [] : ['not one h1'])];
      },
    ],
    [
      'language, title and one main',
      (html: string) => {
        const all = elements(html);
        const wrong = all[0]?.name === 'html' && all[0].attributes.lang === 'en' ? [] : ['lang'];
        if (all.filter(({ name }) => name === 'main').length !== 1) wrong.push('main');
        return (/<title>([^<]+)<\/title>/.exec(html)?.[1]?.trim() ?? '') === '' ? [...wrong, 'title'] : wrong;
      },
    ],
    [
      'elements closed in the order in which they were opened',
      (html: string) => elements(html, { strict: true }).flatMap(({ fault }) => fault ?? []),
    ],
  ] as const)('has on every page %s', (_, faults) => {
    const found = [...built.pages].flatMap(([path, html]) =>
      faults(html).map((fault) => `${path}: ${fault}`),
    );
    expect(found).toEqual([]);
  });

  it('tells of every public export of every subpath, each with a docstring', () => {
    expect(areas()).toContain('stats');
    expect(
      exported.filter(({ docstring }) => docstring === null).map(({ area, name }) => `${area} ${name}`),
    ).toEqual([]);
    expect(
      exported.filter(({ docstring }) => (docstring?.text ?? '').trim() === '').map(({ name }) => name),
    ).toEqual([]);
    const places = new Set(built.entries.map(({ href }) => href));
    const anchors = new Map<string, Set<string>>();
    for (const [path] of built.pages) if (path.startsWith('library/')) anchors.set(path, idsOf(path));
    for (const { area, name } of exported) {
      const path = [...anchors].find(
        ([page, ids]) => page.startsWith(`library/${area}-`) && ids.has(name),
      )?.[0];
      expect(path, `${area} ${name}`).toBeDefined();
      expect(places.has(`/${path}#${name}`), `${area} ${name} in the search`).toBe(true);
    }
  });

  it('has an example in the docstring of every public function, which tests/samples runs', () => {
    expect(withoutExample(exported).filter((name) => !(name in WITHOUT_EXAMPLE))).toEqual([]);
    expect(Object.keys(WITHOUT_EXAMPLE).filter((name) => !withoutExample(exported).includes(name))).toEqual(
      [],
    );
    // What it says where one is taken away.
    const one = exported.find(({ kind }) => kind === 'function')!;
    const bare = { ...one, docstring: { ...one.docstring!, examples: [] } };
    expect(withoutExample([one])).toEqual([]);
    expect(withoutExample([bare])).toEqual([`${one.area} ${one.name}`]);
  });

  it('takes the names from the modules themselves', async () => {
    const names = (area: string) => exported.filter((one) => one.area === area).map(({ name }) => name);
    for (const area of ['numerics', 'kinematics', 'notebook'])
      expect(names(area)).toEqual(
        expect.arrayContaining(Object.keys(await import(`../../src/${area}/index.ts`))),
      );
  });

  it('has a place for every metric, table, column, JSON field, command and option', () => {
    const [metrics, tables, commands] = ['metrics.html', 'tables.html', 'commands.html'].map(idsOf);
    for (const { id } of [...metricCatalogue, ...quantityCatalogue])
      expect(metrics!.has(`entry-${id}`), id).toBe(true);
    for (const name of TABLE_NAMES) {
      expect(tables!.has(name)).toBe(true);
      for (const field of tableSchema(name).fields)
        expect(tables!.has(`${name}-${field.name}`), field.name).toBe(true);
    }
    for (const { name, options } of COMMANDS) {
      expect(commands!.has(name)).toBe(true);
      for (const { usage, summary } of options)
        expect(built.pages.get('commands.html'), usage).toContain(
          summary.slice(0, 20).replaceAll("'", '&#39;').split('<')[0],
        );
    }
    for (const file of Object.keys(JSON_FILES)) {
      const ids = idsOf(`json/${file}.html`);
      const fields = sectionsOf(readSchema(file)).flatMap((section) =>
        section.fields.map((field) => ({ section, field })),
      );
      expect(fields.length).toBeGreaterThan(10);
      for (const { section, field } of fields) {
        expect(ids.has(fieldAnchor(section, field)), `${file} ${field.path}`).toBe(true);
        expect(field.description, `${file} ${field.path}`).not.toBe('');
      }
    }
  });

  it('carries every notebook and every report as they are', () => {
    for (const name of notebookNames()) {
      const page = readFileSync(new URL(`../../reports/${name}-notebook/${name}.html`, import.meta.url));
      expect(page.equals(built.copies.get(`notebooks/${name}.html`)!)).toBe(true);
      expect(built.pages.get('notebooks/index.html')).toContain(`href="../notebooks/${name}.html"`);
    }
    for (const name of reportNames()) expect(built.copies.has(`reports/${name}.html`)).toBe(true);
  });

  it('finds by its list what it says it has, without a script', () => {
    const list = elements(built.pages.get('search.html')!).filter(
      ({ attributes }) => 'data-entry' in attributes,
    );
    expect(list.length).toBe(built.entries.length);
    expect(list.length).toBeGreaterThan(1500);
  });

  it('gives the same bytes each time', () => {
    const again = site(exported);
    expect([...again.pages]).toEqual([...built.pages]);
    expect([...again.copies.keys()]).toEqual([...built.copies.keys()]);
  });

  it('shows hostile text as text', () => {
    const hostile =
      '</code></pre><script>alert(1)</script><img src=x onerror=alert(1)> `<b>` [x](javascript:alert(1)) \u202e"\' href="/a';
    const entry: PublicExport = {
      area: 'stats',
      name: 'mean',
      kind: 'function',
      file: `src/stats/${hostile}`,
      declaration: `function mean(a: '${hostile}'): ${hostile} /** ${hostile} */`,
      docstring: {
        text: hostile,
        parameters: [{ name: hostile, words: hostile }],
        returns: hostile,
        errors: [hostile],
        sources: [hostile],
        examples: [hostile],
        toldExamples: [hostile],
      },
    };
    const pages = [
      ...libraryPart([entry]).pages,
      searchPage([{ name: hostile, href: `/a.html#${hostile}`, kind: hostile, words: hostile }]),
    ];
    for (const page of pages) {
      const html = sitePageHtml(page).replace(/<style>[\s\S]*?<\/style>/, '');
      const all = elements(html, { strict: true });
      expect(
        all.filter(({ name }) => ['img', 'b'].includes(name)),
        page.path,
      ).toEqual([]);
      expect(all.filter(({ name }) => name === 'script').length, page.path).toBe(page.scripts?.length ?? 0);
      expect(
        all.flatMap(({ attributes }) => Object.keys(attributes)).filter((name) => name.startsWith('on')),
      ).toEqual([]);
      expect(
        all.flatMap(({ attributes }) => attributes.href ?? []).filter((href) => /^javascript/i.test(href)),
      ).toEqual([]);
      expect(
        all.flatMap(({ fault }) => fault ?? []),
        page.path,
      ).toEqual([]);
      expect(html).not.toContain('\u202e');
      expect(textOf(html)).not.toContain('undefined');
    }
  });

  it('replaces a site as it was built, and leaves any other folder as it is', async () => {
    const small: Site = { pages: new Map([['index.html', '<p>one</p>']]), copies: new Map(), entries: [] };
    const other: Site = { ...small, pages: new Map([['index.html', '<p>two</p>']]) };
    const target = join(folder, 'small');
    await writeSite(target, small);
    await writeSite(target, other);
    expect(readFileSync(join(target, 'index.html'), 'utf8')).toBe('<p>two</p>');
    writeFileSync(join(target, 'notes.txt'), 'mine');
    await expect(writeSite(target, small)).rejects.toThrow(ForeignFolderError);
    await expect(writeSite(target, small)).rejects.toThrow('notes.txt is not of it');
    rmSync(join(target, 'notes.txt'));
    writeFileSync(join(target, 'index.html'), 'changed');
    await expect(writeSite(target, small)).rejects.toThrow('index.html was changed or taken away');
    expect(readFileSync(join(target, 'index.html'), 'utf8')).toBe('changed');
    writeFileSync(join(folder, 'file'), 'mine');
    await expect(writeSite(join(folder, 'file'), small)).rejects.toThrow(ForeignFolderError);
  });
});
