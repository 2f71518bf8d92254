import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { reportFiles } from '../../src/report/index.ts';
import { withoutIsolates } from './fixture.ts';
import { poisoned, studyFindings } from './studies.ts';

/** Direction overrides, and control characters that no text should carry. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what this looks for
const unseen = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u202a-\u202e\u2066-\u2069]/;
describe('hostile text in every place where a person may have typed', () => {
  it('is tried on the reports that are kept', () => {
    expect(studyFindings.map(([name]) => name)).toContain('drill-trial');
  });

  it.each(studyFindings)(
    '%s: text in the page, in drawings and in tables; never in a file name',
    (_, finding) => {
      const files = reportFiles(poisoned(finding), { golferPages: true });
      expect(Object.keys(files).length).toBeGreaterThan(3);
      // The question is the first text to be poisoned; the script follows among the others.
      expect(files[`${finding.study}.html`]).toContain('&lt;b&gt;G01&lt;/b&gt;');
      expect(files[`${finding.study}.html`]).toContain('&lt;/script&gt;');
      for (const [name, text] of Object.entries(files)) {
        expect(name).toMatch(/^(golfers\/)?[a-z0-9-]+\.(html|svg|csv|json)$/);
        if (name.endsWith('.html') || name.endsWith('.svg')) {
          // The drawing library's own script is its own affair.
          const own = withoutIsolates(text.replace(/<script>[\s\S]*?<\/script>/g, ''));
          expect(own.match(unseen), name).toBeNull();
          // Outside the data blocks, whose own characters are written out, no tag that a text brought along.
          expect(text).not.toMatch(/<(img|b)[\s>]*(src|G01)/i);
          expect(text).not.toContain('document.body.innerHTML="owned"</script>');
        }
        if (name.endsWith('.csv')) {
          const { data, errors } = Papa.parse<string[]>(text.trimEnd());
          expect(errors.filter(({ type }) => type !== 'Delimiter')).toEqual([]);
          expect(new Set(data.map((row) => row.length)).size, name).toBe(1);
          for (const cell of data.flat())
            if (!/^-?[\d.]+(e[+-]\d+)?$/.test(cell)) expect(cell).not.toMatch(/^\s*[=+\-@]/);
        }
      }
    },
    // A page of a hundred rows carries megabytes of hostile text.
    240_000,
  );
});
