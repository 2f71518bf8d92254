/**
 * The records of a CSV text, each with its line end: joined they are the text. A record ends with a line end outside double
 * quotes; where quotes do not come in pairs, with every line end.
 *
 * @param quotes whether a quote may hold a line end, where the text is a part of a longer one
 */
export function* recordsOf(
  text: string,
  quotes = text.includes('"') && (text.split('"').length - 1) % 2 === 0,
): Generator<string> {
  let start = 0;
  let isQuoted = false;
  const marks = quotes ? /["\n\r]/g : /[\n\r]/g;
  for (let found = marks.exec(text); found !== null; found = marks.exec(text)) {
    if (found[0] === '"') isQuoted = !isQuoted;
    else if (!isQuoted) {
      if (found[0] === '\r' && text[found.index + 1] === '\n') marks.lastIndex += 1;
      yield text.slice(start, marks.lastIndex);
      start = marks.lastIndex;
    }
  }
  if (start < text.length) yield text.slice(start);
}

/** The cells of a record with commas between them. */
export function cellsOf(record: string): readonly string[] {
  const line = record.replace(/(\r\n|\r|\n)$/, '');
  if (!line.includes('"')) return line.split(',');
  const cells: string[] = [];
  const cell = /(?:"((?:[^"]|"")*)"|([^,]*))(,|$)/y;
  for (;;) {
    const found = cell.exec(line);
    if (found === null) return [...cells, line.slice(cells.join(',').length)];
    cells.push(found[1]?.replaceAll('""', '"') ?? found[2] ?? '');
    if (found[3] === '') return cells;
  }
}
