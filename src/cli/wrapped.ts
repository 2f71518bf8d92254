/** Text broken at spaces so that no line is longer than `width`, where its words allow. */
export function wrapped(text: string, width: number, indent = '', hanging = indent): string {
  const lines: string[] = [];
  let line = indent;
  for (const word of text.split(' ')) {
    const start = lines.length === 0 ? indent : hanging;
    if (line !== start && line.length + 1 + word.length > width) {
      lines.push(line);
      line = hanging + word;
    } else line += (line === start ? '' : ' ') + word;
  }
  return [...lines, line].join('\n');
}
