import { readFileSync } from 'node:fs';
import { commandPart } from './command-page.ts';
import { notebookPart, reportPart } from './copied-pages.ts';
import { jsonPart } from './json/json-pages.ts';
import { libraryPart } from './library/library-pages.ts';
import { readExports } from './library/read-exports.ts';
import { metricPart } from './metric-page.ts';
import { morePart, tutorialPart } from './more-pages.ts';
import { type Entry, sitePageHtml } from './page.ts';
import { searchPage } from './search-page.ts';
import { startPage } from './start-page.ts';
import { tablePart } from './table-page.ts';

/** The site as files, by POSIX path, in order of path. */
export interface Site {
  /** Pages made here, as HTML. */
  readonly pages: ReadonlyMap<string, string>;
  /** Files carried over as they are. */
  readonly copies: ReadonlyMap<string, Uint8Array>;
  readonly entries: readonly Entry[];
}

/**
 * Everything on the site, from docstrings, catalogue, schemas, specifications of commands, texts, notebooks and reports. The
 * same project gives the same bytes: no clock, no path and no host goes into a page.
 */
export function site(exported = readExports()): Site {
  const [notebooks, reports] = [notebookPart(), reportPart()];
  const parts = [
    tutorialPart(),
    commandPart(),
    metricPart(),
    tablePart(),
    jsonPart(),
    libraryPart(exported),
    notebooks,
    reports,
    morePart(),
  ];
  const entries = parts.flatMap((part) => part.entries);
  const pages = [startPage(), ...parts.flatMap((part) => part.pages), searchPage(entries)];
  return {
    pages: byPath(pages.map((page) => [page.path, sitePageHtml(page)])),
    copies: byPath(
      [...notebooks.copies, ...reports.copies].map(({ path, from }) => [path, readFileSync(from)]),
    ),
    entries,
  };
}

function byPath<Content>(files: readonly (readonly [string, Content])[]): Map<string, Content> {
  const paths = files.map(([path]) => path);
  const twice = paths.find((path, k) => paths.indexOf(path) !== k);
  if (twice !== undefined) throw new Error(`site: two pages have the path ${twice}`);
  return new Map([...files].sort(([a], [b]) => (a < b ? -1 : 1)));
}
