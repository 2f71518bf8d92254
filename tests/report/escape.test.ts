import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  escapeMarkup,
  escapePlotly,
  jsonForScript,
  shortLabel,
  visibleText,
} from '../../src/report/escape.ts';
import { hostile } from './fixture.ts';

const anyText = fc.oneof(fc.string({ unit: 'binary' }), fc.string(), fc.constantFrom(...hostile));

/** What a browser makes of the five entities; nothing else is written. */
const decode = (html: string): string =>
  html.replace(
    /&(amp|lt|gt|quot|#39);/g,
    (_, name: string) => ({ amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" })[name] ?? '',
  );

describe('escapeMarkup', () => {
  it('leaves no character that could open a tag or leave an attribute, and loses nothing', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const html = escapeMarkup(text);
        expect(html).not.toMatch(/[<>"']/);
        expect(html).not.toMatch(/&(?!(amp|lt|gt|quot|#39);)/);
        expect(decode(html)).toBe(visibleText(text));
      }),
    );
  });
});

describe('visibleText', () => {
  it('writes out direction marks, controls and broken halves', () => {
    expect(visibleText('G\u202e01')).toBe('G⟨U+202E⟩01');
    expect(visibleText('a\u0000b\u007f')).toBe('a⟨U+0000⟩b⟨U+007F⟩');
    expect(visibleText('\ud800x')).toBe('⟨U+D800⟩x');
  });
  it('leaves letters of every script, emoji, tabs and line feeds alone', () => {
    const text = 'שלום 日本 é 👩‍🚀\t\n−';
    expect(visibleText(text)).toBe(text);
  });
  it('always gives well-formed text without marks that turn what follows', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const shown = visibleText(text);
        expect(() => encodeURIComponent(shown)).not.toThrow();
        expect(shown).not.toMatch(/[\u200e\u200f\u202a-\u202e\u2066-\u2069]/);
      }),
    );
  });
});

describe('jsonForScript', () => {
  it('cannot end its block, and reads back the same', () => {
    fc.assert(
      fc.property(fc.jsonValue(), anyText, (value, text) => {
        const json = jsonForScript({ value, text });
        expect(json).not.toMatch(/[<>&\u2028\u2029]/);
        expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify({ value, text })));
      }),
    );
  });
});

describe('escapePlotly', () => {
  it('leaves no tag or entity of its own but the line break', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(escapePlotly(text).replaceAll('<br>', '')).not.toMatch(/[<>]|&(?!(amp|lt|gt);)/);
      }),
    );
  });
  it('keeps a break typed by a person as text', () => {
    expect(escapePlotly('a<br>b\nc')).toBe('a&lt;br&gt;b<br>c');
  });
});

describe('shortLabel', () => {
  it('leaves a short text as it is and keeps both ends of a long one', () => {
    expect(shortLabel('G01')).toBe('G01');
    expect(shortLabel('a golfer with a very long name 17', 16)).toBe('a golfer w…me 17');
    expect(shortLabel('a  b\n c')).toBe('a b c');
  });
  it('is never longer than asked, whatever the text', () => {
    fc.assert(
      fc.property(anyText, fc.integer({ min: 4, max: 40 }), (text, most) => {
        const count = [...new Intl.Segmenter('en').segment(shortLabel(text, most))].length;
        expect(count).toBeLessThanOrEqual(most);
        expect(shortLabel(text, most).length).toBeLessThanOrEqual(8 * most);
      }),
    );
  });
});
