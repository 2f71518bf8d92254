/** One opening tag of a page, or with `strict` a fault of nesting. */
export interface HtmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly fault?: string;
}

const VOID = new Set(['meta', 'br', 'hr', 'img', 'input', 'wbr', 'link', 'base', 'col']);
/** May stay open in HTML, or is drawn by SVG in a form of its own. */
const RAW = new Set(['script', 'style']);
const ENTITIES: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  '#39': "'",
  nbsp: ' ',
};

const decoded = (text: string): string =>
  text.replace(/&(#?\w+);/g, (whole, name: string) => ENTITIES[name] ?? whole);

/** The opening tags of a page in order, as a browser would see them; a small reader for HTML that we wrote ourselves. */
export function elements(html: string, options: { readonly strict?: boolean } = {}): HtmlElement[] {
  const found: HtmlElement[] = [];
  const open: string[] = [];
  const tag =
    /<!--[\s\S]*?-->|<!doctype[^>]*>|<(\/?)([a-zA-Z][\w-]*)((?:\s+[^\s=>"'/]+(?:\s*=\s*(?:"[^"]*"|'[^']*'|[^\s>"']+))?)*)\s*(\/?)>/g;
  for (let match = tag.exec(html); match !== null; match = tag.exec(html)) {
    const [, closing, written, inside = '', selfClosed] = match;
    if (written === undefined) continue;
    const name = written.toLowerCase();
    if (closing === '/') {
      const last = open.pop();
      if (options.strict === true && last !== name)
        found.push({ name, attributes: {}, fault: `</${name}> closes <${last}> at ${match.index}` });
      continue;
    }
    const attributes = Object.fromEntries(
      [...inside.matchAll(/([^\s=>"'/]+)(?:\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s>"']+)))?/g)].map(
        ([, key, double, single, bare]) => [key!.toLowerCase(), decoded(double ?? single ?? bare ?? '')],
      ),
    );
    found.push({ name, attributes });
    if (selfClosed === '/' || VOID.has(name)) continue;
    if (RAW.has(name)) tag.lastIndex = html.indexOf(`</${name}`, tag.lastIndex);
    open.push(name);
  }
  if (options.strict === true && open.length > 0)
    found.push({ name: '', attributes: {}, fault: `never closed: ${open.join(', ')}` });
  return found;
}

/** The words of a page. */
export function textOf(html: string): string {
  return decoded(html.replace(/<(script|style)[\s\S]*?<\/\1>/g, '').replace(/<[^>]*>/g, ' '));
}
