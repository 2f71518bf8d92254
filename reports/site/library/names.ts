import { breakable } from '../page.ts';
import type { PublicExport } from './read-exports.ts';
import type { Topic } from './topics.ts';

/** Where a public name stands on the site, seen from an area: its own names go before those of others. */
export type NameLink = (name: string, area: string) => string | null;

export const anchorOf = ({ path }: Topic, { name }: PublicExport): string => `/${path}#${name}`;

export function nameLinks(topics: readonly Topic[]): NameLink {
  const places = new Map<string, { area: string; href: string }[]>();
  for (const topic of topics)
    for (const member of topic.members) {
      const known = places.get(member.name) ?? [];
      places.set(member.name, [...known, { area: topic.area, href: anchorOf(topic, member) }]);
    }
  return (name, area) => {
    const known = places.get(name) ?? [];
    return (known.find((one) => one.area === area) ?? known[0])?.href ?? null;
  };
}

/** HTML in which each `<code>` that is a public name leads to it. */
export function linkNames(html: string, area: string, link: NameLink, self = ''): string {
  return html.replace(/<code>([A-Za-z_$][\w$]*)(\(\))?<\/code>/g, (whole, name: string, call = '') => {
    const href = name === self ? null : link(name, area);
    return href === null ? whole : `<a href="${href}"><code>${breakable(name)}${call}</code></a>`;
  });
}
