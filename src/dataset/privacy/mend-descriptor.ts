/** Length and SHA-256 of a file as it is now. */
export interface FileNow {
  readonly bytes: number;
  readonly hash: string;
}

/**
 * datapackage.json as it stands once files have changed and others are gone: their lengths, hashes and rows, also those of
 * the parts of a packed table. What it said of the file that a packed table came from is no longer true, and goes.
 *
 * @param cut how many rows were taken out of each file
 */
export function mendDescriptor(
  bytes: Uint8Array,
  changed: ReadonlyMap<string, FileNow>,
  gone: ReadonlySet<string>,
  cut: Readonly<Record<string, number>>,
): Uint8Array {
  let descriptor: unknown;
  try {
    descriptor = JSON.parse(Buffer.from(bytes).toString('utf8'));
  } catch {
    return bytes;
  }
  if (!isObject(descriptor) || !Array.isArray(descriptor.resources)) return bytes;
  const before = JSON.stringify(descriptor);
  const resources = descriptor.resources.flatMap((resource: unknown) =>
    isObject(resource) ? mended(resource, changed, gone, cut) : [resource],
  );
  const after = { ...descriptor, resources };
  if (JSON.stringify(after) === before) return bytes;
  return Buffer.from(`${JSON.stringify(after, null, 2)}\n`, 'utf8');
}

type Resource = Readonly<Record<string, unknown>>;

function mended(
  resource: Resource,
  changed: ReadonlyMap<string, FileNow>,
  gone: ReadonlySet<string>,
  cut: Readonly<Record<string, number>>,
): Resource[] {
  const isLeft = (path: unknown): boolean => typeof path !== 'string' || !gone.has(path);
  if (typeof resource.path === 'string') {
    if (!isLeft(resource.path)) return [];
    const content = changed.get(resource.path);
    if (content === undefined) return [resource];
    return [withoutOrigin(stated(resource, content, cut[resource.path] ?? 0))];
  }
  if (!Array.isArray(resource.path)) return [resource];
  const path = resource.path.filter(isLeft);
  if (path.length === 0) return [];
  if (path.length === resource.path.length && !path.some((one) => changed.has(one))) return [resource];
  const parts = (Array.isArray(resource.parts) ? resource.parts : [])
    .filter((part): part is Resource => isObject(part) && isLeft(part.path))
    .map((part) => {
      const content = changed.get(String(part.path));
      return content === undefined ? part : stated(part, content, cut[String(part.path)] ?? 0);
    });
  const sum = (name: string): number => parts.reduce((total, part) => total + Number(part[name] ?? 0), 0);
  return [
    withoutOrigin({
      ...resource,
      path,
      ...(parts.length === 0 ? {} : { parts, bytes: sum('bytes'), rows: sum('rows') }),
    }),
  ];
}

function stated(of: Resource, content: FileNow, cut: number): Resource {
  return {
    ...of,
    ...('hash' in of ? { hash: `sha256:${content.hash}` } : {}),
    ...('bytes' in of ? { bytes: content.bytes } : {}),
    ...(typeof of.rows === 'number' ? { rows: of.rows - cut } : {}),
  };
}

function withoutOrigin(resource: Resource): Resource {
  if (!isObject(resource.csv)) return resource;
  const { hash: _hash, bytes: _bytes, stated: _stated, ...csv } = resource.csv;
  return { ...resource, csv };
}

function isObject(value: unknown): value is Resource {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
