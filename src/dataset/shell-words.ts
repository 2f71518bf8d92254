/**
 * A word for a POSIX shell, quoted where it needs it.
 * @example shellWord("G01's") // `'G01'\\''s'`
 */
export function shellWord(word: string): string {
  return /^[A-Za-z0-9_.,/+-][A-Za-z0-9_.,/+=-]*$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}

/**
 * The words of a line as a POSIX shell would split it: the inverse of {@link shellWord}. Nothing is expanded.
 * @example shellWords("ask noise --golfer 'G 1'") // ['ask', 'noise', '--golfer', 'G 1']
 */
export function shellWords(line: string): string[] {
  const pieces = line.match(/(?:'[^']*'|\\[\s\S]|[^\s'\\])+/g) ?? [];
  return pieces.map((piece) =>
    piece.replaceAll(
      /'([^']*)'|\\([\s\S])/g,
      (_, quoted: string | undefined, single: string | undefined) => quoted ?? single ?? '',
    ),
  );
}
