/** The areas of this package that can be imported by themselves, as package.json#exports lists them. */
const AREAS = [
  'numerics',
  'stats',
  'kinematics',
  'dataset',
  'synthetic',
  'studies',
  'report',
  'notebook',
] as const;

/** The URL of every module of this package by the name a notebook imports it under. */
export function ownModules(): Record<string, string> {
  const here = import.meta.url;
  const file = here.endsWith('.ts') ? 'index.ts' : 'index.js';
  const areas = AREAS.map((area) => [`proving-range/${area}`, new URL(`../${area}/${file}`, here).href]);
  return Object.fromEntries([['proving-range', new URL(`../${file}`, here).href], ...areas]);
}
