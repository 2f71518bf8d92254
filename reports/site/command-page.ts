import type { CommandSpec } from '../../src/cli/command.ts';
import { COMMANDS } from '../../src/cli/commands.ts';
import { escapeMarkup } from '../../src/report/index.ts';
import { code, type Entry, idOf, type SitePart, tableHtml } from './page.ts';

const HOW_TO_CALL = 'npm run --silent cli --';

/** Commands in groups, in the order in which they are needed; every command has its place. */
const GROUPS: Readonly<Record<string, readonly string[]>> = {
  'Begin and ask': ['demo', 'init', 'check', 'import', 'ask'],
  'Decide beforehand': ['plan', 'lock', 'allocate'],
  'Captures and angles': ['inspect', 'measure', 'angle'],
  Models: ['fit', 'fit-sums'],
  'Notebooks, and making again': ['run', 'verify', 'export'],
  'Pupils and their data': ['pseudonymise', 'share', 'erase'],
  'Store, invent, calibrate': ['pack', 'unpack', 'generate', 'calibrate'],
};

/** Every command with its words, options and an example, as the command line itself has them. */
export function commandPart(commands: readonly CommandSpec[] = COMMANDS): SitePart {
  const placed = Object.values(GROUPS).flat();
  const homeless = commands.filter(({ name }) => !placed.includes(name)).map(({ name }) => name);
  if (homeless.length > 0)
    throw new Error(`commandPart: put these commands into a group of GROUPS: ${homeless.join(', ')}`);
  const groups = Object.entries(GROUPS).map(
    ([title, names]) =>
      [title, names.flatMap((name) => commands.filter((command) => command.name === name))] as const,
  );
  return {
    pages: [
      {
        path: 'commands.html',
        title: 'Commands',
        body: `<h1>Commands</h1>
<p class="lead">Everything can be asked from a shell, in the folder of Proving Range, with
<code>${HOW_TO_CALL}</code> and one of these words.</p>
<p>Nothing is overwritten: every output goes into a new folder or file. The exit code is 0 where all is well, 1 where the data or the fit has a problem
and 2 where the request is wrong. With <code>--json</code>, which every command takes, the result is one JSON document on the output and nothing else.</p>
<nav aria-label="Commands">
${groups.map(([title, all]) => `<p><span class="kind">${title}</span><br>${all.map(({ name }) => `<a href="#${name}"><code>${name}</code></a>`).join(' &nbsp; ')}</p>`).join('\n')}
</nav>
${groups.map(([title, all]) => `<section aria-labelledby="${idOf(title)}">\n<h2 id="${idOf(title)}">${title}</h2>\n${all.map(commandHtml).join('\n')}\n</section>`).join('\n')}`,
      },
    ],
    entries: commands.flatMap((command) => [
      { name: command.name, href: `/commands.html#${command.name}`, kind: 'command', words: command.summary },
      ...command.options.map((option) => optionEntry(command, option)),
    ]),
  };
}

const optionAnchor = (command: CommandSpec, usage: string): string => `${command.name}-${idOf(usage)}`;

const optionEntry = (command: CommandSpec, option: CommandSpec['options'][number]): Entry => ({
  name: option.usage.split(' ')[0]!,
  href: `/commands.html#${optionAnchor(command, option.usage)}`,
  kind: `option of ${command.name}`,
  words: option.summary,
});

function commandHtml(command: CommandSpec): string {
  const { name, summary, example, options } = command;
  const given = (command.arguments ?? []).map(
    ({ usage, summary: words }) =>
      `<tr><th scope="row">${code(usage)}</th><td>${escapeMarkup(words)}</td></tr>`,
  );
  const rows = options.map(
    ({ usage, summary: words, required }) =>
      `<tr id="${optionAnchor(command, usage)}"><th scope="row">${code(usage)}${required === true ? ' <span class="kind">needed</span>' : ''}</th><td>${escapeMarkup(words)}</td></tr>`,
  );
  return `<article class="entry" id="${name}" aria-labelledby="command-${name}">
<h3 id="command-${name}"><code>${name}</code></h3>
<p>${escapeMarkup(summary)}</p>
<pre tabindex="0"><code>${HOW_TO_CALL} ${escapeMarkup(example)}</code></pre>
${rows.length + given.length === 0 ? '' : tableHtml(`Words and options of ${name}`, ['Word or option', 'What it says'], [...given, ...rows])}
</article>`;
}
