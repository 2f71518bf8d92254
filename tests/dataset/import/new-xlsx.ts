import { crc32, deflateRawSync } from 'node:zlib';

/** A cell of a test's sheet: text, number, or something with a looks of its own. */
export type NewCell =
  | string
  | number
  | null
  | { readonly date: number }
  | { readonly error: string }
  | { readonly formula: string; readonly value?: number }
  | { readonly inline: string };

export interface NewSheet {
  readonly name?: string;
  readonly state?: 'hidden' | 'veryHidden';
  readonly rows: readonly (readonly NewCell[])[];
  /** Rows that are hidden, counted from 1. */
  readonly hiddenRows?: readonly number[];
  readonly merged?: readonly string[];
}

const HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
const RELS = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const escaped = (text: string) =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

/** The parts of a workbook (ECMA-376, part 1), written by hand so that a test can break any of them. */
export function workbookParts(
  sheets: readonly NewSheet[],
  options: { readonly from1904?: boolean } = {},
): Map<string, string> {
  const named = sheets.map((sheet, index) => ({ name: `Sheet${index + 1}`, ...sheet, number: index + 1 }));
  return new Map([
    [
      '[Content_Types].xml',
      `${HEAD}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`,
    ],
    [
      'xl/workbook.xml',
      `${HEAD}<workbook ${MAIN} xmlns:r="${RELS}"><workbookPr${options.from1904 === true ? ' date1904="1"' : ''}/><sheets>${named
        .map(
          ({ name, state, number }) =>
            `<sheet name="${escaped(name)}" sheetId="${number}"${state === undefined ? '' : ` state="${state}"`} r:id="rId${number}"/>`,
        )
        .join('')}</sheets></workbook>`,
    ],
    [
      'xl/_rels/workbook.xml.rels',
      `${HEAD}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${named
        .map(
          ({ number }) =>
            `<Relationship Id="rId${number}" Type="${RELS}/worksheet" Target="worksheets/sheet${number}.xml"/>`,
        )
        .join('')}</Relationships>`,
    ],
    [
      'xl/styles.xml',
      `${HEAD}<styleSheet ${MAIN}><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
    ],
    ...named.map((sheet): [string, string] => [`xl/worksheets/sheet${sheet.number}.xml`, sheetXml(sheet)]),
  ]);
}

function sheetXml({ rows, hiddenRows = [], merged = [] }: NewSheet): string {
  const lines = rows.map(
    (cells, index) =>
      `<row r="${index + 1}"${hiddenRows.includes(index + 1) ? ' hidden="1"' : ''}>${cells.map((cell, column) => cellXml(cell, `${String.fromCharCode(65 + column)}${index + 1}`)).join('')}</row>`,
  );
  const merges =
    merged.length === 0
      ? ''
      : `<mergeCells>${merged.map((ref) => `<mergeCell ref="${ref}"/>`).join('')}</mergeCells>`;
  return `${HEAD}<worksheet ${MAIN}><sheetData>${lines.join('')}</sheetData>${merges}</worksheet>`;
}

function cellXml(cell: NewCell, at: string): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return `<c r="${at}"><v>${cell}</v></c>`;
  if (typeof cell === 'string') return `<c r="${at}" t="inlineStr"><is><t>${escaped(cell)}</t></is></c>`;
  if ('date' in cell) return `<c r="${at}" s="1"><v>${cell.date}</v></c>`;
  if ('error' in cell) return `<c r="${at}" t="e"><v>${cell.error}</v></c>`;
  if ('inline' in cell) return `<c r="${at}" t="inlineStr"><is>${cell.inline}</is></c>`;
  const value = cell.value === undefined ? '' : `<v>${cell.value}</v>`;
  return `<c r="${at}"><f>${escaped(cell.formula)}</f>${value}</c>`;
}

export interface NewEntry {
  readonly name: string;
  readonly content: string | Uint8Array;
  /** Packed by deflate; stored as it is without, so that the bytes do not depend on the version of zlib. */
  readonly deflate?: boolean;
  /** What the directory says of it, where that is a lie. */
  readonly says?: { readonly size?: number; readonly crc?: number; readonly flags?: number };
}

/** A zip file of these entries. */
export function zipBytes(entries: readonly NewEntry[]): Uint8Array {
  const parts: Uint8Array[] = [];
  const directory: Uint8Array[] = [];
  let offset = 0;
  for (const { name, content, deflate = false, says = {} } of entries) {
    const raw = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    const packed = deflate ? new Uint8Array(deflateRawSync(raw)) : raw;
    const bytesOfName = new TextEncoder().encode(name);
    const head = (signature: number, extra: number) => {
      const view = new DataView(new ArrayBuffer(extra));
      view.setUint32(0, signature, true);
      return view;
    };
    const fields = (view: DataView, at: number) => {
      view.setUint16(at, 20, true);
      view.setUint16(at + 2, says.flags ?? 0, true);
      view.setUint16(at + 4, deflate ? 8 : 0, true);
      view.setUint32(at + 10, says.crc ?? crc32(raw), true);
      view.setUint32(at + 14, packed.byteLength, true);
      view.setUint32(at + 18, says.size ?? raw.byteLength, true);
      view.setUint16(at + 22, bytesOfName.byteLength, true);
    };
    const local = head(0x04034b50, 30);
    fields(local, 4);
    const central = head(0x02014b50, 46);
    central.setUint16(4, 20, true);
    fields(central, 6);
    central.setUint32(42, offset, true);
    parts.push(new Uint8Array(local.buffer), bytesOfName, packed);
    directory.push(new Uint8Array(central.buffer), bytesOfName);
    offset += 30 + bytesOfName.byteLength + packed.byteLength;
  }
  const size = directory.reduce((sum, part) => sum + part.byteLength, 0);
  const end = new DataView(new ArrayBuffer(22));
  end.setUint32(0, 0x06054b50, true);
  end.setUint16(8, entries.length, true);
  end.setUint16(10, entries.length, true);
  end.setUint32(12, size, true);
  end.setUint32(16, offset, true);
  return Uint8Array.from(Buffer.concat([...parts, ...directory, new Uint8Array(end.buffer)]));
}

/** A whole .xlsx file. */
export function xlsxBytes(
  sheets: readonly NewSheet[],
  options: { readonly from1904?: boolean; readonly change?: (parts: Map<string, string>) => void } = {},
): Uint8Array {
  const parts = workbookParts(sheets, options);
  options.change?.(parts);
  return zipBytes([...parts].map(([name, content]) => ({ name, content })));
}
