const NAMED: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  apos: "'",
  nbsp: '\u00a0',
};

/**
 * What a reader sees of XML or HTML: its text without tags, with characters for the codes that stand for them. A name is
 * cut by tags where part of it is bold: in `Ann <b>Berg</b>` no run of bytes is the name.
 *
 * @example withoutMarkup('<t>M&#252;</t><t>ller</t>') // 'Müller'
 */
export function withoutMarkup(text: string): string {
  return text
    .replace(/<[^>]*>/g, '')
    .replace(
      /&(?:#x([0-9a-f]{1,6})|#(\d{1,7})|(\w{2,6}));/gi,
      (all, hex?: string, decimal?: string, name?: string) => {
        if (name !== undefined) return NAMED[name] ?? all;
        const code = hex === undefined ? Number(decimal) : Number.parseInt(hex, 16);
        return code > 0x10ffff ? all : String.fromCodePoint(code);
      },
    )
    .replace(/_x([0-9a-f]{4})_/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));
}
