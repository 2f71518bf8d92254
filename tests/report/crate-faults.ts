import { CRATE_FILE } from '../../src/report/index.ts';

/** What breaks a MUST of the sections "Structure", "Root Data Entity" and "Data Entities" of RO-Crate 1.2. */
export function crateFaults(text: string, files: readonly { readonly path: string }[]): string[] {
  const crate = JSON.parse(text) as { '@context': unknown; '@graph': Record<string, unknown>[] };
  const faults: string[] = [];
  const must = (holds: boolean, what: string): void => void (holds || faults.push(what));
  const ids = crate['@graph'].map((entity) => entity['@id']);
  const byId = new Map(crate['@graph'].map((entity) => [entity['@id'], entity]));
  must(crate['@context'] === 'https://w3id.org/ro/crate/1.2/context', 'the context by reference');
  must(new Set(ids).size === ids.length, 'each entity once');
  must(
    crate['@graph'].every((entity) => typeof entity['@id'] === 'string' && entity['@type'] !== undefined),
    'each entity has @id and @type',
  );
  const descriptor = byId.get(CRATE_FILE) as Record<string, { '@id': string }> | undefined;
  must(descriptor?.['@type'] === ('CreativeWork' as unknown), 'a metadata descriptor');
  must(descriptor?.conformsTo?.['@id'] === 'https://w3id.org/ro/crate/1.2', 'conformsTo');
  const root = byId.get(descriptor?.about?.['@id'] ?? '');
  must(root?.['@id'] === './' && root['@type'] === 'Dataset', 'a root data entity');
  for (const key of ['name', 'description', 'license']) must((root?.[key] ?? '') !== '', `root ${key}`);
  must(/^\d{4}-\d{2}-\d{2}$/.test(String(root?.datePublished)), 'datePublished in ISO 8601');
  const parts = ((root?.hasPart ?? []) as { '@id': string }[]).map((part) => part['@id']);
  const described = crate['@graph'].filter((entity) => [entity['@type']].flat().includes('File'));
  for (const { '@id': id } of described) {
    must(parts.includes(String(id)), `${id} is linked from the root`);
    must(/^[^\s%?#]*(?:%[0-9A-F]{2}[^\s%?#]*)*$/.test(String(id)), `${id} is a URI reference`);
    must(
      files.some(({ path }) => path === decodeURIComponent(String(id))),
      `${id} is in the archive`,
    );
  }
  // Flattened: an entity refers to another by its @id and nothing more, and the other is there.
  for (const entity of crate['@graph'])
    for (const [key, value] of Object.entries(entity))
      for (const inner of [value].flat())
        if (typeof inner === 'object' && inner !== null) {
          must(Object.keys(inner).join() === '@id', `${entity['@id']} ${key} is a reference`);
          const id = (inner as { '@id': string })['@id'];
          must(key === 'conformsTo' || byId.has(id), `${id} is described`);
        }
  return faults;
}
