import { strToU8, zipSync } from 'fflate';
import type { Merge, SheetRow } from '../../import/sheet.ts';

const HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const PACKAGE = 'http://schemas.openxmlformats.org/package/2006';
const TYPE = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
/** Midnight of the first day that a zip file can state, by its clock without a zone. */
const NO_DATE = new Date(1980, 0, 1);

/** A sheet as far as it is values. */
export interface SheetValues {
  readonly name: string;
  readonly hidden: boolean;
  readonly rows: Iterable<SheetRow>;
  readonly merged: readonly Merge[];
  /** Counted from 1. */
  readonly hiddenColumns: readonly number[];
}

/**
 * A workbook (Office Open XML, ECMA-376, part 1) with nothing but the values of these sheets: no formulae, notes, authors,
 * looks, charts or drawings. What `readXlsx` reads of it is the sheets again, but for formulae, which are their values.
 */
export function writeValues(sheets: readonly SheetValues[]): Uint8Array {
  const parts: Record<string, string> = {
    '[Content_Types].xml': `<Types xmlns="${PACKAGE}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="${TYPE}.sheet.main+xml"/>${sheets.map((_, index) => `<Override PartName="/xl/worksheets/sheet${index + 1}.xml" ContentType="${TYPE}.worksheet+xml"/>`).join('')}</Types>`,
    '_rels/.rels': `<Relationships xmlns="${PACKAGE}/relationships"><Relationship Id="rId1" Type="${OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    'xl/workbook.xml': `<workbook xmlns="${MAIN}" xmlns:r="${OFFICE}"><sheets>${sheets
      .map(
        ({ name, hidden }, index) =>
          `<sheet name="${escaped(name)}" sheetId="${index + 1}"${hidden ? ' state="hidden"' : ''} r:id="rId${index + 1}"/>`,
      )
      .join('')}</sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': `<Relationships xmlns="${PACKAGE}/relationships">${sheets.map((_, index) => `<Relationship Id="rId${index + 1}" Type="${OFFICE}/worksheet" Target="worksheets/sheet${index + 1}.xml"/>`).join('')}</Relationships>`,
  };
  sheets.forEach((sheet, index) => {
    parts[`xl/worksheets/sheet${index + 1}.xml`] = sheetXml(sheet);
  });
  return zipSync(
    Object.fromEntries(Object.entries(parts).map(([name, xml]) => [name, strToU8(HEAD + xml)])),
    { mtime: NO_DATE, level: 6 },
  );
}

function sheetXml({ rows, merged, hiddenColumns }: SheetValues): string {
  const columns = hiddenColumns.map((column) => `<col min="${column}" max="${column}" hidden="1"/>`).join('');
  const merges = merged.map(
    ({ rows: [top, bottom], columns: [left, right] }) =>
      `<mergeCell ref="${letters(left)}${top}:${letters(right)}${bottom}"/>`,
  );
  return [
    `<worksheet xmlns="${MAIN}">`,
    columns === '' ? '' : `<cols>${columns}</cols>`,
    '<sheetData>',
    ...Array.from(rows, rowXml),
    '</sheetData>',
    merges.length === 0 ? '' : `<mergeCells count="${merges.length}">${merges.join('')}</mergeCells>`,
    '</worksheet>',
  ].join('');
}

function rowXml({ line, hidden, cells, kinds }: SheetRow): string {
  const xml = cells.map((text, index) => {
    if (text === '') return '';
    const at = `r="${letters(index + 1)}${line}"`;
    const kind = kinds?.[index] ?? 'text';
    if (kind === 'number') return `<c ${at}><v>${escaped(text)}</v></c>`;
    if (kind === 'date') return `<c ${at} t="d"><v>${escaped(text.replace(' ', 'T'))}</v></c>`;
    if (kind === 'error') return `<c ${at} t="e"><v>${escaped(text)}</v></c>`;
    return `<c ${at} t="inlineStr"><is><t xml:space="preserve">${escaped(text)}</t></is></c>`;
  });
  return `<row r="${line}"${hidden ? ' hidden="1"' : ''}>${xml.join('')}</row>`;
}

function letters(column: number): string {
  let [left, text] = [column, ''];
  for (; left > 0; left = Math.floor((left - 1) / 26))
    text = String.fromCharCode(65 + ((left - 1) % 26)) + text;
  return text;
}

/** `_x000D_` is how the format writes a character that XML cannot hold (ECMA-376, part 1, 22.9.2.19). */
function escaped(text: string): string {
  return text
    .replace(/_(?=x[0-9A-Fa-f]{4}_)/g, '_x005F_')
    .replace(
      /(?![\t\n])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu,
      (character) => `_x${character.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}_`,
    )
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
