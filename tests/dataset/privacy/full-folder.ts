import { mkdir, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { crc32, deflateRawSync, gzipSync } from 'node:zlib';
import { sha256Hex } from '../../../src/dataset/index.ts';
import { writeC3d } from '../../../src/kinematics/index.ts';

/** A zip file with one deflated member, byte by byte as the format says (PKWARE APPNOTE 6.3.10). */
export function zipOf(name: string, content: string | Uint8Array): Buffer {
  const raw = Buffer.from(content);
  const packed = deflateRawSync(raw);
  const fields = Buffer.alloc(26);
  fields.writeUInt16LE(20, 0);
  fields.writeUInt16LE(8, 4);
  fields.writeUInt32LE(crc32(raw), 10);
  fields.writeUInt32LE(packed.length, 14);
  fields.writeUInt32LE(raw.length, 18);
  fields.writeUInt16LE(Buffer.byteLength(name), 22);
  const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), fields, Buffer.from(name), packed]);
  const central = Buffer.concat([
    Buffer.from('PK\x01\x02\x14\x00', 'latin1'),
    fields,
    Buffer.alloc(14),
    Buffer.from(name),
  ]);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 0, 'latin1');
  end.writeUInt16LE(1, 8);
  end.writeUInt16LE(1, 10);
  end.writeUInt32LE(central.length, 12);
  end.writeUInt32LE(local.length, 16);
  return Buffer.concat([local, central, end]);
}

/** A capture of one marker at three frames; the labels can carry a name. */
export function capture(label: string): Uint8Array {
  return writeC3d({
    rateHz: 240,
    labels: [label],
    coordinates: Float64Array.from({ length: 9 }, (_, i) => i + 0.5),
  });
}

/** Ids that lie close to each other: G1 and G10, G1-2 and AG1; sessions that carry the id with and without a mark. */
export function fullFolder(): Readonly<Record<string, string | Uint8Array>> {
  const golfers = ['G1', 'G10', 'G1-2', 'AG1'];
  const sessions = ['G1-S1', 'G1S2', 'G10-S1', 'G1-2-S1', 'AG1-S1'];
  const ofSession = ['G1', 'G1', 'G10', 'G1-2', 'AG1'];
  const captures = Object.fromEntries(
    sessions.map((session) => [`motion/${session}.c3d`, capture(session === 'G10-S1' ? 'G1 :LELB' : 'LELB')]),
  );
  const utf16 = (text: string): Buffer => Buffer.from(`\uFEFF${text}`, 'utf16le');
  return {
    'golfers.csv': `golfer_id,plays,consent_scope,remark\n${golfers.map((g) => `${g},right,study,${g === 'AG1' ? '"plays with G1, often"' : ''}\n`).join('')}`,
    'sessions.csv': `session_id,golfer_id,date,phase\n${sessions.map((s, i) => `${s},${ofSession[i]},2026-03-0${i + 1},baseline\n`).join('')}`,
    'swings.csv': `swing_id,session_id,order_in_session,task,club_speed_mps\n${sessions.map((s, i) => `${i === 1 ? 'x7Q-long-swing-9' : `${s}-01`},${s},1,full,3${i}.5\n`).join('')}`,
    'practice.csv': `golfer_id,date,reps\n${golfers.map((g) => `${g},2026-03-20,12\n`).join('')}`,
    'captures.csv': `swing_id,file,sha256,layout\n${sessions
      .map((s, i) => {
        const file = `motion/${s}.c3d`;
        return `${i === 1 ? 'x7Q-long-swing-9' : `${s}-01`},${file},${sha256Hex(captures[file]!)},layout.json\n`;
      })
      .join('')}`,
    'curves.csv': `swing_id,quantity,time_pct,value_deg\nG1-S1-01,lag_angle,0,90\nx7Q-long-swing-9,lag_angle,0,91\nG10-S1-01,lag_angle,0,92\n`,
    'layout.json': '{"note":"made for G1 and the others"}\n',
    ...captures,
    'import-log.jsonl':
      '{"row":2,"golfer":"G1"}\n{"row":3,"golfer":"G10"}\n{"row":4,"swing":"x7Q-long-swing-9"}\n',
    'originals/day.csv': Buffer.from('Player;Speed\r\nG1;36,5\r\nG10;37,5\r\nM\xfcller;38\r\n', 'latin1'),
    'originals/wide.csv': utf16('Player\tSpeed\r\nG1\t36\r\nG10\t37\r\n'),
    'originals/sheet.xlsx': zipOf('xl/sharedStrings.xml', '<sst><si><t>G1</t></si></sst>'),
    'originals/other.xlsx': zipOf('xl/sharedStrings.xml', '<sst><si><t>G10</t></si></sst>'),
    'originals/nested.zip': zipOf('inner.xlsx', zipOf('a.xml', '<t>G1</t>')),
    'originals/old.csv.gz': gzipSync('Player\nG1\n'),
    'report/index.html': '<p>Golfers: G10, G1.</p>',
    'report/finding.json': '{"golfers":["G1","G10"]}',
    'second-report/index.html': '<p>Golfers: G10, AG1.</p>',
    'notes.md': '# Notes\nG1 came late.\nG10 came early.\n',
    'plan.json':
      '{"exclude":[{"golfer":"G1","why":"hurt"},{"golfer":"G10","why":"hurt"}],"names":{"G1":1,"G10":2}}',
    'video/G1.mp4': 'film',
    'empty/G1/nothing.txt': 'x',
    'documents/letter.pdf': '%PDF-1.7 packed',
  };
}

export async function writeFiles(
  folder: string,
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<void> {
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, path)), { recursive: true });
    await writeFile(join(folder, path), content);
  }
}
