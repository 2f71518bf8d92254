import { instantCatalogue, metricCatalogue, quantityCatalogue } from '../../src/kinematics/index.ts';
import { catalogueHtml } from '../../src/report/index.ts';
import type { SitePart } from './page.ts';

/** The catalogue of metrics with the site around it. */
export function metricPart(): SitePart {
  return {
    pages: [{ path: 'metrics.html', title: 'Metric catalogue', body: catalogueHtml() }],
    entries: [
      ...[...metricCatalogue, ...quantityCatalogue].map(({ id, label, meaning }) => ({
        name: label,
        href: `/metrics.html#entry-${id}`,
        kind: 'number of the swing',
        words: meaning,
      })),
      ...instantCatalogue.map(({ name, meaning }) => ({
        name,
        href: `/metrics.html#instant-of-${name.replaceAll(' ', '-')}`,
        kind: 'instant of the swing',
        words: meaning,
      })),
    ],
  };
}
