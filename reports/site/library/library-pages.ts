import { markdownToHtml } from '../../../src/report/index.ts';
import type { Entry, SitePage, SitePart } from '../page.ts';
import { entryHtml } from './entry-html.ts';
import { anchorOf, linkNames, type NameLink, nameLinks } from './names.ts';
import { areas, type PublicExport } from './read-exports.ts';
import { folderWords, type Topic, topicsOf } from './topics.ts';

/** The library reference: a page for all, one for each subpath of the package, one for each folder of public names. */
export function libraryPart(all: readonly PublicExport[]): SitePart {
  const byArea = areas().map((area) => ({ area, topics: topicsOf(area, all) }));
  const topics = byArea.flatMap((one) => one.topics);
  const link = nameLinks(topics);
  return {
    pages: [
      overview(byArea, all.length),
      ...byArea.map(({ area, topics }) => areaPage(area, topics, link)),
      ...topics.map((topic) => topicPage(topic, link)),
    ],
    entries: [
      ...byArea.map(({ area }) => ({
        name: `proving-range/${area}`,
        href: `/library/${area}.html`,
        kind: 'subpath of the library',
        words: firstSentence(folderWords(area)),
      })),
      ...topics.flatMap((topic) => topic.members.map((member) => entryOf(topic, member))),
    ],
  };
}

const entryOf = (topic: Topic, member: PublicExport): Entry => ({
  name: member.name,
  href: anchorOf(topic, member),
  kind: `${member.kind}, ${member.area}`,
  words: firstSentence(member.docstring?.text ?? ''),
});

/** The first sentence of a text, without its marks of code. */
export function firstSentence(text: string): string {
  const words = text.replace(/\s+/g, ' ').trim();
  return (/^.*?[^.\d][.:](?= |$)/.exec(words)?.[0] ?? words).replaceAll('`', '').replace(/:$/, '.');
}

const WORDS: Readonly<Record<string, string>> = {
  kinematics: 'From a capture to instants, joint angles and numbers of the swing, each with its uncertainty.',
  dataset: 'Tables and their schemas: reading, checking, importing, planning, privacy, Parquet.',
  studies: 'One question each: from a dataset and a plan to a Finding.',
};

const wordsOf = (area: string): string => folderWords(area) || (WORDS[area] ?? '');

function overview(byArea: readonly { area: string; topics: readonly Topic[] }[], count: number): SitePage {
  const items = byArea.map(({ area, topics }) => {
    const names = topics.reduce((sum, { members }) => sum + members.length, 0);
    return `<li><a href="/library/${area}.html"><code>proving-range/${area}</code></a> <span class="kind">${names} names</span>${markdownToHtml(wordsOf(area))}</li>`;
  });
  return {
    path: 'library/index.html',
    title: 'Library',
    body: `<h1>Library</h1>
<p class="lead">For a program of your own, in TypeScript or JavaScript: ${count} public names under ${byArea.length} subpaths, from what needs nothing to what needs all
below it. Each page is made from the docstrings in the source, which is what your editor shows too.</p>
<p>After <code>npm run build</code>, in this folder or in one where you have installed it with <code>npm install</code> and the path of this folder:</p>
<pre tabindex="0"><code>import { fitModel } from 'proving-range/stats';</code></pre>
<p>Misuse by a program throws an <code>Error</code> with the name of the function and the remedy; problems of the data come back as values.</p>
<ul class="plain">
${items.join('\n')}
</ul>`,
  };
}

function areaPage(area: string, topics: readonly Topic[], link: NameLink): SitePage {
  const parts = topics.map((topic) => {
    const items = topic.members.map(
      (member) =>
        `<li><a href="${anchorOf(topic, member)}"><code>${member.name}</code></a> <small class="soft">${inlineWords(member, link)}</small></li>`,
    );
    return `<section aria-labelledby="${idOfTopic(topic)}">
<h2 id="${idOfTopic(topic)}"><a href="/${topic.path}">${topic.title}</a></h2>
${topic.words === '' ? '' : linkNames(markdownToHtml(topic.words), area, link)}
<ul class="plain">
${items.join('\n')}
</ul>
</section>`;
  });
  return {
    path: `library/${area}.html`,
    title: `Library: ${area}`,
    body: `<p class="crumb"><a href="/library/index.html">Library</a></p>
<h1><code>proving-range/${area}</code></h1>
<div class="lead">${markdownToHtml(wordsOf(area))}</div>
${parts.join('\n')}`,
  };
}

const idOfTopic = ({ path }: Topic): string => path.replace(/^library\/|\.html$/g, '');

function inlineWords(member: PublicExport, link: NameLink): string {
  const words = firstSentence(member.docstring?.text ?? '');
  return linkNames(markdownToHtml(words.replace(/[*_<>[\]~`]/g, '\\$&')), member.area, link)
    .trim()
    .replace(/^<p>([\s\S]*)<\/p>$/, '$1');
}

function topicPage(topic: Topic, link: NameLink): SitePage {
  const names = topic.members.map(({ name }) => `<li><a href="#${name}"><code>${name}</code></a></li>`);
  return {
    path: topic.path,
    title: `${topic.title} (${topic.area})`,
    body: `<p class="crumb"><a href="/library/index.html">Library</a>, <a href="/library/${topic.area}.html">${topic.area}</a></p>
<h1>${topic.title}</h1>
${topic.words === '' ? '' : `<div class="lead">${linkNames(markdownToHtml(topic.words), topic.area, link)}</div>`}
<pre tabindex="0"><code>import { … } from 'proving-range/${topic.area}';</code></pre>
<nav aria-label="Names on this page"><ul class="columns plain-names">
${names.join('\n')}
</ul></nav>
${topic.members.map((member) => entryHtml(member, link)).join('\n')}`,
  };
}
