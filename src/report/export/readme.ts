import { visibleText } from '../escape.ts';

/** What a stranger is told who opens the archive. */
export interface ReadmeParts {
  readonly question: string;
  /** The answer, or what else the archive holds. */
  readonly answer: string;
  readonly software: { readonly name: string; readonly version: string };
  readonly files: readonly { readonly path: string; readonly description: string }[];
  /** Commands, with ARCHIVE for the folder into which the archive was unpacked. */
  readonly commands: readonly { readonly why: string; readonly words: string }[];
  /** Whose data these are and whose are not, in sentences. */
  readonly consent: string;
  /** What a reader must mind beyond consent, in sentences. */
  readonly notes: readonly string[];
}

/**
 * The README of an archive: what was asked, what was answered, what is in it, how to make it again and whose data it
 * holds. Markdown.
 *
 * @example
 * const parts = { question: 'Does it help?', answer: 'Too early to tell.', software: { name: 'proving-range', version: '1.0.0' }, files: [], commands: [], consent: 'Invented data.', notes: [] };
 * archiveReadme(parts) // '# Does it help?\n\nToo early to tell.\n...'
 */
export function archiveReadme(parts: ReadmeParts): string {
  const { question, answer, software, files, commands, consent, notes } = parts;
  return `# ${oneLine(question)}

${oneLine(answer)}

## What is in it

${files.map(({ path, description }) => `- ${asCode(path)}: ${oneLine(description)}`).join('\n')}

\`ro-crate-metadata.json\` says the same to a machine, with the SHA-256 of each file.

In a table of the report (not of the data, which are letter for letter as they were) a text that a spreadsheet would run
as a formula has one \`'\` before it; without that mark it is the text.

## How to make it again

It needs Node 20.19 or newer and ${software.name} ${software.version}, unpacked in a folder of its own, with \`npm ci\` typed there once.
Type the commands in that folder, with the folder into which you unpacked this archive in place of ARCHIVE.

${commands.map(({ why, words }) => `${why}\n\n    npm run --silent cli -- ${visibleText(words).replaceAll('\n', '⟨U+000A⟩')}`).join('\n\n')}

The same files, version and seed give the same answer, byte for byte. Another version may not; then the first command
names the numbers that moved.

## Whose data these are

${consent}

${notes.map((note) => `- ${oneLine(note)}`).join('\n')}
`;
}

/** A path as code, with as many marks around it as keep those within it apart (CommonMark 0.31, 6.1). */
function asCode(path: string): string {
  const inner = visibleText(path).replace(/\s/g, ' ');
  if (!inner.includes('`')) return `\`${inner}\``;
  const longest = Math.max(...[...inner.matchAll(/`+/g)].map(([run]) => run.length));
  const marks = '`'.repeat(longest + 1);
  return `${marks} ${inner} ${marks}`;
}

/** A text that comes from data or a plan as one line of prose: no heading, list or code of its own. */
function oneLine(text: string): string {
  return visibleText(text.replaceAll(/\s+/g, ' '))
    .trim()
    .replaceAll(/[\\`*_{}[\]<>#|]/g, '\\$&');
}
