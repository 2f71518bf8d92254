import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { findingPage } from '../../src/report/finding-page.ts';
import { pageShell } from '../../src/report/page-shell.ts';
import { plotlyBundle } from '../../src/report/plotly-bundle.ts';
import { bareFinding, finding, hostileFinding, withoutIsolates, withVerdict } from './fixture.ts';

const page = findingPage(finding);
/** The page without what a browser does not show: scripts and style. */
const shown = (html: string): string =>
  html.replace(/<script[^>]*>[\s\S]*?<\/script>|<style>[\s\S]*?<\/style>/g, '');

describe('the page of a Finding', () => {
  const body = shown(page);

  it('gives the parts in order, the answer and its verdict first', () => {
    const order = [
      'Did the towel drill change trail elbow flexion at delivery?',
      'A change that matters',
      'After eight weeks the drill group’s trail elbow was 5.6° straighter',
      'The effect against what matters</h2>',
      'Each golfer’s change</h2>',
      'Before and after, by group</h2>',
      'What the data say, number by number</h2>',
      'Practice and change</h2>',
      'What was measured</h2>',
      'The model in words</h2>',
      'Checks on the data and the model</h2>',
      'Would another choice change the answer?</h2>',
      'What was left out or used only in part, and why</h2>',
      'Who took part</h2>',
      'Before you act on this</h2>',
      'Planned or not</h2>',
      'Where the numbers come from</h2>',
    ];
    const places = order.map((part) => body.indexOf(part));
    expect(places.every((at) => at > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('has one first heading, and no heading that skips a level', () => {
    const levels = [...body.matchAll(/<h([1-6])\b/g)].map(([, level]) => Number(level));
    expect(levels.filter((level) => level === 1)).toHaveLength(1);
    for (const [k, level] of levels.entries())
      if (k > 0) expect(level - (levels[k - 1] as number)).toBeLessThanOrEqual(1);
  });

  it('says its language, has a way past to the content, and unique ids', () => {
    expect(page).toMatch(/^<!doctype html>\n<html lang="en">/);
    expect(page).toContain('<a class="skip" href="#main">');
    const ids = [...body.matchAll(/\sid="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, id] of body.matchAll(/aria-(?:labelledby|describedby)="([^"]+)"/g)) {
      for (const one of (id ?? '').split(' ')) expect(ids).toContain(one);
    }
  });

  it('shows each estimate with its interval to sensible digits, and keeps the machine values', () => {
    expect(body).toContain('data-value="-5.62" data-low="-7.9" data-high="-3.34" data-unit="deg"');
    expect(body).toContain('−5.6°');
    expect(body).toContain('−7.9 to −3.3°');
    expect(body).toContain('not estimable');
  });

  it('gives every check, sensitivity, reason, caution, hash and version', () => {
    const said = [
      ...finding.checks.map(({ words }) => words),
      ...finding.sensitivity.map(({ words }) => words),
      ...finding.leftOut.map(({ why }) => why),
      ...finding.cautions,
      finding.model.words,
      finding.planned.words,
      finding.metric.meaning,
      ...finding.provenance.inputs.map(({ sha256 }) => sha256),
      '20240501',
      '2024-06-30',
    ];
    for (const words of said) expect(body).toContain(words.replaceAll("'", '&#39;'));
    for (const { ids } of finding.leftOut) for (const id of ids) expect(body).toContain(`<bdi>${id}</bdi>`);
  });

  it('always warns of pain, consent and cause, and says none of them twice', () => {
    for (const word of ['Stop at pain', 'needs their consent', 'not proof of cause'])
      expect(body.split(word)).toHaveLength(2);
    const own = shown(
      findingPage({
        ...finding,
        cautions: ['Stop at any pain.', 'Ask for consent first.', 'No proof of cause.'],
      }),
    );
    expect(own).not.toContain('licensed clinician');
    expect(own).not.toContain('needs their consent');
  });

  it('puts a warning before the figures', () => {
    const warned = shown(findingPage(bareFinding));
    expect(warned.indexOf('One group only')).toBeGreaterThan(0);
    expect(warned.indexOf('One group only')).toBeLessThan(warned.indexOf('<figure'));
    expect(body).not.toContain('Read this first');
  });

  it.each([
    ['meaningful', 'A change that matters'],
    ['too-small-to-matter', 'Too small to matter'],
    ['opposite', 'A change the wrong way'],
    ['cannot-tell', 'Cannot tell yet'],
  ] as const)('says %s in words', (verdict, words) => {
    const head = shown(findingPage(withVerdict(verdict, 'Hm.'))).split('</header>')[0] ?? '';
    expect(head).toContain(words);
  });

  it('uses no star of significance', () => {
    expect(body).not.toMatch(/\*|p\s*[<=]\s*0?\.0/);
  });

  it('carries the Finding itself, whole', () => {
    const json = /<script type="application\/json" id="finding">(.*?)<\/script>/s.exec(page)?.[1] ?? '';
    expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify(finding)));
  });

  it('is one file under 3 MB that names no address to load from', () => {
    expect(Buffer.byteLength(page)).toBeLessThan(3_000_000);
    expect(body).not.toMatch(/\s(src|srcset|poster|action)=|<link|<iframe|@import|url\((?!#)/);
    expect([...body.matchAll(/href="([^"]*)"/g)].every(([, to]) => to?.startsWith('#'))).toBe(true);
  });

  it('allows its own two scripts by their hash and nothing else', () => {
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1] ?? '';
    expect(policy).toMatch(/^default-src 'none';/);
    expect(policy).not.toMatch(/https?:|\*|script-src[^;]*unsafe|connect-src/);
    const scripts = [...page.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(([, text]) => text ?? '');
    expect(scripts).toHaveLength(2);
    for (const text of scripts) expect(policy).toContain(createHash('sha256').update(text).digest('base64'));
  });

  it('keeps the licence banner of the drawing library', () => {
    const file = createRequire(import.meta.url).resolve('plotly.js-cartesian-dist-min');
    const banner = readFileSync(file, 'utf8').slice(0, 120);
    expect(banner).toContain('Copyright');
    expect(page).toContain(banner);
    expect(plotlyBundle()).toContain('Licensed under the MIT license');
  });

  it('is the same bytes for the same Finding', () => {
    expect(findingPage(structuredClone(finding))).toBe(page);
  });

  it('holds up when nothing could be estimated', () => {
    expect(shown(findingPage(bareFinding))).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it('is a whole page for a study that has no figures', () => {
    const plain = findingPage({ ...finding, study: 'noise', tables: null });
    expect(plain).not.toContain('<figure');
    expect(plain).toContain("script-src 'none'");
    expect(plain).toContain('Where the numbers come from');
  });
});

describe('hostile text in every place', () => {
  const page = findingPage(hostileFinding());
  const body = shown(page);

  it('opens no tag of its own and sets no attribute', () => {
    const usual = new Set(
      [...shown(findingPage(finding)).matchAll(/<([a-zA-Z][\w-]*)/g)].map(([, name]) => name),
    );
    const found = new Set([...body.matchAll(/<([a-zA-Z][\w-]*)/g)].map(([, name]) => name));
    expect([...found].filter((name) => !usual.has(name))).toEqual([]);
    expect(body.replace(/="[^"]*"/g, '')).not.toMatch(/<[^>]*\son\w+/i);
    expect(page.match(/<script/g)?.length).toBe(findingPage(finding).match(/<script/g)?.length);
  });
  it('leaves no mark that turns the text around it, and no control character', () => {
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what this looks for
    expect(withoutIsolates(body)).not.toMatch(/[\u0000-\u0008\u200e\u200f\u202a-\u202e\u2066-\u2069]/);
  });
  it('cuts a word of ten thousand letters for display, with the whole in its title', () => {
    const seen = body.replace(/="[^"]*"/g, '').replace(/<(desc|pre)[\s\S]*?<\/\1>/g, '');
    expect(seen).not.toMatch(/x{200}/);
    expect(body).toContain(`title="${'x'.repeat(10_000)}"`);
  });
  it('keeps the data blocks valid JSON', () => {
    const blocks = [...page.matchAll(/<script type="application\/json" id="\w+">([\s\S]*?)<\/script>/g)];
    expect(blocks).toHaveLength(2);
    for (const [, json] of blocks) expect(() => JSON.parse(json ?? '')).not.toThrow();
  });
});

describe('pageShell', () => {
  it('refuses two figures of one id', () => {
    const figure = { id: 'a' } as never;
    expect(() => pageShell({ title: '', body: '', figures: [figure, figure] })).toThrow(
      /pageShell: two figures have the id 'a'/,
    );
  });
});
