import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openFile } from '../../../src/dataset/import/open-file.ts';
import { isDateFormat, serialDate } from '../../../src/dataset/import/serial-date.ts';
import { xlsxBytes, zipBytes } from './new-xlsx.ts';

const REFERENCE = new URL('../../reference/import/', import.meta.url);

function sheetsOf(bytes: Uint8Array) {
  const opened = openFile(bytes, 'x.xlsx');
  if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
  if (opened.file.kind !== 'xlsx') throw new Error('no workbook');
  return opened.file.sheets;
}

/** tests/reference/import/make_xlsx.py says what openpyxl 3.0.9 put into them. */
describe.each(['lesson-1900.xlsx', 'lesson-1904.xlsx'])('%s, written by openpyxl', (name) => {
  const [lesson, old] = sheetsOf(readFileSync(new URL(name, REFERENCE)));
  const rows = [...lesson!.rows];

  it('has the values, whichever system its dates count in', () => {
    expect(rows.map(({ cells }) => cells)).toEqual([
      ['Date', 'Golfer', 'Plays', 'Club', '', 'Note'],
      ['', '', '', 'speed (mph)', 'path (deg)'],
      ['2026-03-04', 'G01', 'right', '80.5', '1.25', 'first & <best>'],
      ['2026-03-04 14:05:30', 'G01', 'right', '81', '#N/A', 'caf\u00E9'],
      ['2024-02-29', 'G02', 'left', '(a formula without a saved value)', '-0.1'],
    ]);
    expect(rows.slice(2).map(({ kinds }) => kinds?.slice(3, 5))).toEqual([
      ['number', 'number'],
      ['number', 'error'],
      ['error', 'number'],
    ]);
  });

  it('says what is merged, hidden and worked out', () => {
    expect(lesson?.merged).toEqual([{ rows: [1, 1], columns: [4, 5] }]);
    expect(rows.map(({ hidden }) => hidden)).toEqual([false, false, false, false, true]);
    expect(lesson?.hiddenColumns).toEqual([6]);
    expect(lesson?.formulas).toBe(1);
    expect([lesson?.hidden, old?.hidden]).toEqual([false, true]);
  });
});

describe('serialDate', () => {
  // ECMA-376, part 1, 18.17.4.1 and 18.17.4.3: the worked examples of both date systems.
  it.each([
    [1, false, '1900-01-01'],
    [59, false, '1900-02-28'],
    [60, false, null],
    [61, false, '1900-03-01'],
    [2_958_465, false, '9999-12-31'],
    [2_958_466, false, null],
    [0, true, '1904-01-01'],
    [-1, false, null],
    [0.5, false, '12:00:00'],
    [46085.75, false, '2026-03-04 18:00:00'],
    [46085.999999, false, '2026-03-05'],
  ])('%f, counted from 1904: %s', (serial, from1904, date) => {
    expect(serialDate(serial, from1904)).toBe(date);
  });
});

describe('isDateFormat', () => {
  it.each([
    [14, undefined, true],
    [2, undefined, false],
    [164, 'dd.mm.yyyy', true],
    [164, '[$-409]h:mm AM/PM', true],
    [164, '0.0 "days"', false],
    [164, '#,##0\\ \\m', false],
    [164, '[Red]0.00', false],
    [164, 'General', false],
  ])('%i %s', (id, code, is) => {
    expect(isDateFormat(id, code)).toBe(is);
  });
});

describe('the parts of a workbook', () => {
  const texts = (bytes: Uint8Array) => Array.from(sheetsOf(bytes)[0]?.rows ?? [], ({ cells }) => cells);

  it('are read packed as well as stored', () => {
    const bytes = xlsxBytes([{ rows: [['a'], [1]] }]);
    expect(texts(bytes)).toEqual([['a'], ['1']]);
    const packed = zipBytes([
      {
        name: 'xl/workbook.xml',
        deflate: true,
        content: '<workbook xmlns:q="u"><sheets><sheet name="S" q:id="r1"/></sheets></workbook>',
      },
      {
        name: 'xl/_rels/workbook.xml.rels',
        deflate: true,
        content: '<Relationships><Relationship Id="r1" Target="/xl/s.xml"/></Relationships>',
      },
      {
        name: 'xl/s.xml',
        deflate: true,
        content:
          '<x:worksheet xmlns:x="u"><x:sheetData><x:row><x:c><x:v>2</x:v></x:c><x:c r="C1" t="b"><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>',
      },
    ]);
    expect(texts(packed)).toEqual([['2', '', 'yes']]);
  });

  it('give rich text without its looks and its reading aids', () => {
    const inline = '<r><t>Club </t></r><r><rPr><b/></rPr><t>speed_x000A_</t></r>';
    expect(texts(xlsxBytes([{ rows: [[{ inline }]] }]))).toEqual([['Club speed\n']]);
  });
});
