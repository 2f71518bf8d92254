import { shortLabel } from './escape.ts';

/** How wide a text will be, without a browser: enough to leave room for labels. Errs on the wide side. */

/** Advance in ems by kind of character, above those of the common system sans-serif fonts. */
function advance(character: string): number {
  if (/[ .,:;'|!iIjl\u202f]/.test(character)) return 0.31;
  if (/[frt()[\]"/\\-]/.test(character)) return 0.4;
  if (/[mwMW@%]/.test(character)) return 0.95;
  if (/[A-Z&+−±<>=~⟨⟩]/.test(character)) return 0.7;
  if (character.charCodeAt(0) < 0x500) return 0.59;
  if (/\p{Mark}/u.test(character)) return 0;
  return 1.05;
}

/**
 * Width in px of the widest line.
 * @example textWidth('G01', 12) > 20 // true
 */
export function textWidth(text: string, size: number): number {
  let widest = 0;
  for (const line of text.split('\n')) {
    let ems = 0;
    for (const character of line) ems += advance(character);
    widest = Math.max(widest, ems);
  }
  return widest * size;
}

/**
 * A label of at most `most` characters, and fewer where they would be wider than `width` px; never fewer than three.
 * @example fittingLabel('G01', 68, 12, 9) // 'G01'
 */
export function fittingLabel(text: string, width: number, size: number, most: number): string {
  for (let count = most; count > 3; count -= 1) {
    const label = shortLabel(text, count);
    if (textWidth(label, size) <= width) return label;
  }
  return shortLabel(text, 3);
}

/**
 * The text broken at spaces so that no line is wider than `width` px; a longer word is cut across lines.
 * @example wrapText('a b', 1000, 12) // 'a b'
 */
export function wrapText(text: string, width: number, size: number): string {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(' ')) {
      const longer = line === '' ? word : `${line} ${word}`;
      if (textWidth(longer, size) <= width) {
        line = longer;
        continue;
      }
      if (line !== '') lines.push(line);
      line = '';
      for (const character of word) {
        if (line !== '' && textWidth(line + character, size) > width) {
          lines.push(line);
          line = '';
        }
        line += character;
      }
    }
    lines.push(line);
  }
  return lines.join('\n');
}
