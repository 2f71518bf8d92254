/**
 * Our colours. A figure names the light one; the page and the SVG swap in the dark one where the reader's
 * screen is dark. Blue against orange, then violet and a deep or pale olive, stay apart under the common kinds of colour
 * blindness; the tests compute it, and the contrast with the paper.
 */

export interface Colour {
  readonly light: string;
  readonly dark: string;
}

export const palette = {
  paper: { light: '#fdfcf9', dark: '#15191c' },
  /** A surface that stands out a little from the paper. */
  raised: { light: '#f4f1ea', dark: '#1f2529' },
  ink: { light: '#1b2226', dark: '#e9e6df' },
  /** Secondary words. */
  soft: { light: '#545d63', dark: '#a9b0b3' },
  /** Hairlines and grid. */
  rule: { light: '#dcd7cc', dark: '#353d42' },
  /** The zone that does not matter. */
  zone: { light: '#ebe6da', dark: '#2a3136' },
  zoneEdge: { light: '#7d776a', dark: '#8b9296' },
  drill: { light: '#00617f', dark: '#5cbfe0' },
  control: { light: '#a84a06', dark: '#f0a062' },
  third: { light: '#7b2fbe', dark: '#b48cff' },
  fourth: { light: '#3a3f1a', dark: '#dfe7c8' },
} as const satisfies Readonly<Record<string, Colour>>;

/** The name of one of our colours. */
export type ColourName = keyof typeof palette;

/** The colour that a figure carries: the light one, by name. */
export const colour: Readonly<Record<ColourName, string>> = Object.fromEntries(
  Object.entries(palette).map(([name, { light }]) => [name, light]),
) as Record<ColourName, string>;

const nameOf: ReadonlyMap<string, string> = new Map(
  Object.entries(palette).map(([name, { light }]) => [light, name]),
);

/**
 * The CSS for a colour of a figure: a custom property for one of ours, so that it follows the theme, and
 * otherwise the colour itself where it is a plain hexadecimal one. Anything else is the ink.
 * @example cssColour('#00617f') // 'var(--drill,#00617f)'
 */
export function cssColour(hex: string): string {
  const name = nameOf.get(hex);
  if (name !== undefined) return `var(--${name},${hex})`;
  return /^#[0-9a-f]{6}$/i.test(hex) ? hex : `var(--ink,${palette.ink.light})`;
}

function declarations(theme: 'light' | 'dark'): string {
  return Object.entries(palette)
    .map(([name, both]) => `--${name}:${both[theme]}`)
    .join(';');
}

/**
 * Fill and stroke of a mark as SVG attributes: plain colours for a reader that knows no custom properties, and
 * over them the ones that follow the theme.
 * @example paint({ fill: '#00617f' }) // 'fill="#00617f" style="fill:var(--drill,#00617f)"'
 */
export function paint(parts: { readonly fill?: string; readonly stroke?: string }): string {
  const known = Object.entries(parts).map(
    ([part, hex]) => [part, /^#[0-9a-f]{6}$/i.test(hex) ? hex : palette.ink.light, cssColour(hex)] as const,
  );
  const plain = known.map(([part, hex]) => `${part}="${hex}"`).join(' ');
  return `${plain} style="${known.map(([part, , css]) => `${part}:${css}`).join(';')}"`;
}

/** The custom properties for an element, light by default, dark where the screen is, light in print. */
export function paletteCss(selector: string): string {
  const light = declarations('light');
  return [
    `${selector}{color-scheme:light dark;${light}}`,
    `@media screen and (prefers-color-scheme:dark){${selector}{${declarations('dark')}}}`,
    `@media print{${selector}{color-scheme:light;${light}}}`,
  ].join('\n');
}

/** Light colour to dark, for the script that recolours an interactive figure. */
export function darkOf(): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.values(palette).map(({ light, dark }) => [light, dark]));
}
