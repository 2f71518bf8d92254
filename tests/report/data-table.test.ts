import { describe, expect, it } from 'vitest';
import { dataTableHtml } from '../../src/report/data-table.ts';

const html = dataTableHtml(
  {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'change', label: 'change', unit: 'deg' },
      { key: 'n', label: 'swings' },
    ],
    rows: [
      { golfer: 'G01', change: -1.23456, n: 10 },
      { golfer: 'x'.repeat(10_000), change: null, n: 9 },
      { golfer: '<b>"G03"</b>', change: 4, n: 8 },
    ],
  },
  { caption: 'Each golfer & change' },
);

describe('dataTableHtml', () => {
  it('has a caption, and a scope for each heading', () => {
    expect(html).toContain('<caption>Each golfer &amp; change</caption>');
    expect(html.match(/<th scope="col"/g)).toHaveLength(3);
    expect(html.match(/<th scope="row"/g)).toHaveLength(3);
  });
  it('shows sensible digits with a real minus, and keeps the machine value', () => {
    expect(html).toContain('data-value="-1.23456">\u22121.23</td>');
    expect(html).toContain('data-value="10">10</td>');
  });
  it('shows a dash for what is missing, the unit in the head, and hostile text as text', () => {
    expect(html).toContain('<td class="none">–</td>');
    expect(html).toContain('<small>°</small>');
    expect(html).toContain('&lt;b&gt;&quot;G03&quot;&lt;/b&gt;');
  });
  it('cuts a long text for display and keeps the whole in its title', () => {
    expect(html).toContain(`title="${'x'.repeat(10_000)}"`);
    expect(html.match(/>x+…x+</)?.[0].length).toBeLessThan(50);
  });
});
