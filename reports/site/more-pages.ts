import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { escapeMarkup } from '../../src/report/index.ts';
import type { SitePage, SitePart } from './page.ts';
import { ROOT, textPage } from './text-page.ts';

const CRUMB = '<p class="crumb"><a href="/more.html">More</a></p>\n';

const TUTORIALS = [
  ['coach', 'For a coach who tests a drill'],
  ['director', 'For a director who compares instructors'],
  ['student', 'For a student who reproduces a published angle'],
] as const;

/** The tutorials, with a page that leads to them. */
export function tutorialPart(): SitePart {
  const crumb = '<p class="crumb"><a href="/tutorials/index.html">Tutorials</a></p>\n';
  const texts = TUTORIALS.map(([name, whom]) => ({
    name,
    whom,
    ...textPage(`notebooks/tutorials/${name}.md`, `tutorials/${name}.html`, 'tutorial', { crumb }),
  }));
  const overview: SitePage = {
    path: 'tutorials/index.html',
    title: 'Tutorials',
    body: `<h1>Tutorials</h1>
<p class="lead">One for each of the three people who come here. Each begins with an empty folder, uses invented people, and says at every step what you should see; all
of the commands are run by the tests of the project.</p>
<ul class="plain">
${texts.map(({ name, whom, page }) => `<li><a href="/tutorials/${name}.html">${escapeMarkup(page.title)}</a><small class="soft">${whom}</small></li>`).join('\n')}
</ul>`,
  };
  return {
    pages: [overview, ...texts.map(({ page }) => page)],
    entries: texts.flatMap(({ entries }) => entries),
  };
}

/** What else the project has written down. */
export function morePart(): SitePart {
  const texts = [
    textPage('README.md', 'readme.html', 'README', { crumb: CRUMB, title: 'README' }),
    textPage('synthetic/README.md', 'cohorts.html', 'invented cohorts', { crumb: CRUMB }),
    textPage('src/dataset/sums/README.md', 'federation.html', 'federation', { crumb: CRUMB }),
    textPage('CHANGELOG.md', 'changelog.html', 'changes', { crumb: CRUMB }),
    textPage('DEVELOPERS.md', 'developers.html', 'for developers', { crumb: CRUMB }),
  ];
  const overview: SitePage = {
    path: 'more.html',
    title: 'More',
    body: `<h1>More</h1>
<ul class="plain">
<li><a href="/readme.html">README</a> <small class="soft">all of it on one page</small></li>
<li><a href="/cohorts.html">Invented rosters</a> <small class="soft">the recipes, and what is true in what they give</small></li>
<li><a href="/federation.html">Fitting where the data already are</a> <small class="soft">for a federation that hands out no rows</small></li>
<li><a href="/changelog.html">Changelog</a> <small class="soft">numbers that were wrong come first</small></li>
<li><a href="/developers.html">Working on it</a> <small class="soft">how it is built, and how to add to it</small></li>
<li><a href="/cite.html">How to cite</a> <small class="soft">and the licence</small></li>
</ul>`,
  };
  return {
    pages: [overview, ...texts.map(({ page }) => page), citePage()],
    entries: [
      ...texts.flatMap(({ entries }) => entries),
      { name: 'How to cite', href: '/cite.html', kind: 'page', words: 'The words to cite, and the licence.' },
    ],
  };
}

/** One value of CITATION.cff, which is plain YAML. */
function cited(text: string, key: string): string {
  const value = new RegExp(`^ *-? *${key}: (.*)$`, 'm').exec(text)?.[1];
  if (value === undefined) throw new Error(`citePage: CITATION.cff has no ${key}`);
  return value;
}

function citePage(): SitePage {
  const text = readFileSync(join(ROOT, 'CITATION.cff'), 'utf8');
  const [title, version, date, authors, licence] = [
    'title',
    'version',
    'date-released',
    'name',
    'license',
  ].map((key) => escapeMarkup(cited(text, key)));
  return {
    path: 'cite.html',
    title: 'How to cite',
    body: `${CRUMB}<h1>How to cite</h1>
<blockquote><p>${authors} (${date!.slice(0, 4)}). <cite>${title}</cite> (version ${version}) [computer software].</p></blockquote>
<p>Say the version, since numbers may be corrected from one to the next (the <a href="/changelog.html">changelog</a> lists those first), and the definitions of the
metrics you used with their own versions: every report states both, with the SHA-256 of the files it was made from.</p>
<p>For a published definition or method cite its paper too: the <a href="/metrics.html">catalogue</a> and the docstrings in the <a href="/library/index.html">library</a>
name the source of each.</p>
<p>The same for programs, as CITATION.cff:</p>
<pre tabindex="0"><code>${escapeMarkup(text.trimEnd())}</code></pre>
<section aria-labelledby="licence"><h2 id="licence">Licence: ${licence}</h2>
<pre tabindex="0"><code>${escapeMarkup(readFileSync(join(ROOT, 'LICENSE'), 'utf8').trimEnd())}</code></pre>
</section>`,
  };
}
