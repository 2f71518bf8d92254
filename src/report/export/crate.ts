import { extname } from 'node:path';
import { sha256Hex } from '../../dataset/index.ts';
import { visibleText } from '../escape.ts';
import { bytesOf } from './archive.ts';

/** A file of the archive, and what it is there for. */
export interface CrateFile {
  /** POSIX path within the archive. */
  readonly path: string;
  readonly content: string | Uint8Array;
  readonly name: string;
  readonly description: string;
  /** Whether the answer was made from it, or it was made with the answer; neither for a text about both. */
  readonly role: 'input' | 'result' | 'about';
}

/** What the description of an archive says. */
export interface CrateAbout {
  readonly name: string;
  readonly description: string;
  /** YYYY-MM-DD. */
  readonly datePublished: string;
  /** The address of a licence, or null where none was stated. */
  readonly license: string | null;
  readonly software: { readonly name: string; readonly version: string };
  /** What was measured, where there is one number that answers. */
  readonly measured: { readonly column: string; readonly unit: string; readonly meaning: string } | null;
  readonly files: readonly CrateFile[];
}

/** The name of the file that describes an archive (RO-Crate 1.2). */
export const CRATE_FILE = 'ro-crate-metadata.json';
const MEDIA_TYPES: Readonly<Record<string, string>> = {
  '.csv': 'text/csv',
  '.json': 'application/json',
  '.html': 'text/html',
  '.svg': 'image/svg+xml',
  '.md': 'text/markdown',
  '.pdf': 'application/pdf',
  '.ipynb': 'application/x-ipynb+json',
  '.ts': 'text/x-typescript',
  '.parquet': 'application/vnd.apache.parquet',
};

/**
 * What is in the archive as RO-Crate 1.2 metadata: each file with its size and SHA-256, and the run that made the
 * results from the inputs with this software.
 *
 * @returns JSON text
 * @see https://w3id.org/ro/crate/1.2
 * @example
 * const file = { path: 'page.html', content: '', name: 'Page', description: 'The answer.', role: 'result' } as const;
 * const about = { name: 'Answer', description: 'Invented.', datePublished: '2026-03-04', license: null, software: { name: 'proving-range', version: '1.0.0' }, measured: null, files: [file] };
 * const crate = JSON.parse(crateMetadata(about));
 * // The SHA-256 of nothing
 * crate['@graph'].find((one) => one['@id'] === 'page.html').sha256 // 'e3b0c44298fc1c14...'
 */
export function crateMetadata(about: CrateAbout): string {
  const { files, software, measured } = about;
  const license = licenseEntity(about.license);
  const tool = { '@id': `#${encodeURIComponent(`${software.name}-${software.version}`)}` };
  const run = { '@id': '#run' };
  const quantity = measured === null ? null : { '@id': `#${encodeURIComponent(measured.column)}` };
  const graph = [
    {
      '@id': CRATE_FILE,
      '@type': 'CreativeWork',
      about: { '@id': './' },
      conformsTo: { '@id': 'https://w3id.org/ro/crate/1.2' },
    },
    {
      '@id': './',
      '@type': 'Dataset',
      name: visibleText(about.name),
      description: visibleText(about.description),
      datePublished: about.datePublished,
      license: { '@id': license['@id'] },
      ...(quantity === null ? {} : { variableMeasured: quantity }),
      mentions: run,
      hasPart: files.map(reference),
    },
    ...files.map(fileEntity),
    {
      ...run,
      '@type': 'CreateAction',
      name: 'The run that made the answer',
      description:
        'Every result was made from these inputs by this software; README.md says how to make it again.',
      instrument: tool,
      object: files.filter(({ role }) => role === 'input').map(reference),
      result: files.filter(({ role }) => role === 'result').map(reference),
    },
    {
      ...tool,
      '@type': 'SoftwareApplication',
      name: software.name,
      softwareVersion: software.version,
      softwareRequirements: 'Node 20.19 or newer',
    },
    ...(quantity === null || measured === null
      ? []
      : [
          {
            ...quantity,
            '@type': 'PropertyValue',
            name: measured.column,
            unitText: measured.unit,
            description: measured.meaning,
          },
        ]),
    license,
  ];
  return `${JSON.stringify({ '@context': 'https://w3id.org/ro/crate/1.2/context', '@graph': graph }, null, 2)}\n`;
}

function fileEntity(file: CrateFile): Record<string, unknown> {
  const bytes = bytesOf(file.content);
  const extension = extname(file.path);
  return {
    ...reference(file),
    '@type': extension === '.ts' ? ['File', 'SoftwareSourceCode'] : 'File',
    name: file.name,
    description: file.description,
    encodingFormat: MEDIA_TYPES[extension] ?? 'application/octet-stream',
    contentSize: String(bytes.length),
    sha256: sha256Hex(bytes),
  };
}

/** A path as a relative URI. Letters beyond ASCII stay as they are, as the specification prefers. */
function reference({ path }: CrateFile): { '@id': string } {
  const escaped = path.replace(/[^\p{L}\p{N}/._~-]/gu, (sign) => encodeURIComponent(sign));
  return { '@id': escaped };
}

function licenseEntity(license: string | null): Record<string, unknown> & { '@id': string } {
  if (license !== null)
    return {
      '@id': license,
      '@type': 'CreativeWork',
      name: license,
      description: 'The licence that was stated when this archive was made.',
    };
  return {
    '@id': '#no-licence',
    '@type': 'CreativeWork',
    name: 'No licence stated',
    description:
      'Nobody has stated how this may be used beyond what the golfers consented to: results handed on without a name. Ask whoever gave it to you.',
  };
}
