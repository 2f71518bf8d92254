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

it('leads links where a site says, and lets no other than a safe address through', () => {
  const options = {
    linkTo: (address: string) => (address === 'b.md' ? '/b.html' : null),
    picture: (address: string, words: string) => (address === 'c.svg' ? `<i>${words}</i>` : null),
    headingId: (words: string) => `h-${words}`,
  };
  const html = (text: string) => markdownToHtml(text, options);
  expect(html('[a](b.md) and [d](https://example.org) and [e](#here)')).toBe(
    '<p><a href="/b.html">a</a> and <a href="https://example.org">d</a> and <a href="#here">e</a></p>\n',
  );
  expect(html('[a *b*](javascript:alert) [c](file:///x) [d](../d.md)')).toBe('<p>a <em>b</em> c d</p>\n');
  expect(html('![words](c.svg) ![others](d.svg)')).toBe('<p><i>words</i> others</p>\n');
  expect(html('# One')).toBe('<h1 id="h-One">One</h1>\n');
});
