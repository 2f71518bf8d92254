import { describe, expect, it } from 'vitest';
import { markdownToHtml } from '../../src/report/markdown.ts';
import { hostile } from './fixture.ts';

describe('markdownToHtml', () => {
  it('renders the usual marks (expected from the CommonMark specification)', () => {
    expect(markdownToHtml('# A\n\nb *c* **d** `e`')).toBe(
      '<h1>A</h1>\n<p>b <em>c</em> <strong>d</strong> <code>e</code></p>\n',
    );
    expect(markdownToHtml('- a\n- b')).toBe('<ul>\n<li>a</li>\n<li>b</li>\n</ul>\n');
  });
  it('moves headings down, never past the sixth level', () => {
    expect(markdownToHtml('# A\n##### B', { headingOffset: 2 })).toBe('<h3>A</h3>\n<h6>B</h6>\n');
  });
  it('shows tags as text', () => {
    expect(markdownToHtml('<script>alert(1)</script>')).toBe(
      '<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>\n',
    );
    for (const text of hostile) expect(markdownToHtml(text)).not.toMatch(/<(script|img|svg|b|iframe)\b/i);
  });
  it('loads no picture and follows no dangerous link', () => {
    expect(markdownToHtml('![words](http://example.invalid/a.png)')).toBe('<p>words</p>\n');
    for (const link of [
      'javascript:alert(1)',
      'data:text/html,x',
      'file:///etc/passwd',
      'vbscript:x',
      ' JaVaScRiPt:x',
    ]) {
      expect(markdownToHtml(`[a](<${link}>)`)).not.toContain('<a');
    }
    expect(markdownToHtml('[a](https://example.invalid/x)')).toContain('<a href="https://example.invalid/x"');
  });
});
