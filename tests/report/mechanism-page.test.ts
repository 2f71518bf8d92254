import { describe, expect, it } from 'vitest';
import { figureSvg, findingPage } from '../../src/report/index.ts';
import { mechanismFigures, mechanismPage } from '../../src/report/mechanism/mechanism-page.ts';
import { mechanism } from '../../src/studies/index.ts';
import { plantedRows } from '../studies/mechanism/cohort.ts';
import { datasetOf } from '../studies/simulate.ts';

const outcome = mechanism(
  datasetOf(plantedRows({ golfers: 14, swings: 8, error: { elbow: 1.5 }, best: { lean: 8, loss: 0.03 } }, 3)),
);
if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
const { finding } = outcome;

describe('the page of mechanism', () => {
  const figures = mechanismFigures(finding);

  it('draws slopes, arrows and other ways of asking, each once and each with its numbers', () => {
    const ids = figures.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids).toEqual(expect.arrayContaining(['slopes', 'paths', 'ways']));
    for (const figure of figures) {
      expect(figure.table.rows.length).toBeGreaterThan(0);
      expect(figureSvg(figure, { width: 700, standalone: true })).not.toMatch(/NaN|undefined/);
      expect(figureSvg(figure, { width: 350, standalone: true })).not.toMatch(/NaN|undefined/);
    }
  });

  it('draws an arrow for each path, dashed where it cannot be told from none', () => {
    const paths = figures.find(({ id }) => id === 'paths')!;
    const lines = paths.data.filter(({ hovertext }) => hovertext !== undefined);
    expect(lines).toHaveLength(finding.tables.paths.length);
    finding.tables.paths.forEach(({ interval, scale }, k) => {
      const none = scale === 'odds-ratio' ? 1 : 0;
      const sure = interval !== null && (interval[0] > none || interval[1] < none);
      expect(lines[k]!.line!.dash).toBe(sure ? 'solid' : 'dash');
    });
  });

  it('holds the answer, the causes and the unseen one, and no missing number', () => {
    const page = findingPage(finding);
    expect(page).toContain('How strong an unseen cause would have to be');
    expect(page).toContain('Inside golfers and between golfers');
    const { tables } = mechanismPage(finding);
    expect(Object.keys(tables)).toEqual(expect.arrayContaining(['paths', 'slopes', 'ways', 'unmeasured']));
  });

  it('draws a hundred of thousands of golfers, says so, and lists every one of them', () => {
    const one = finding.tables.golfers[0]!;
    const golfers = Array.from({ length: 5000 }, (_, g) => ({
      ...one,
      golfer: `G${g}`,
      meanPredictor: (g * 7919) % 5000,
    }));
    const slopes = mechanismFigures({ ...finding, tables: { ...finding.tables, golfers } })[0]!;
    const usual = slopes.data.find(({ name }) => name === 'a golfer’s usual')!;
    expect(usual.x).toHaveLength(100);
    expect([usual.x[0], usual.x.at(-1)]).toEqual([0, 4999]);
    expect(slopes.caption).toContain('100 of 5000 golfers');
    expect(slopes.table.rows).toHaveLength(5000);
  });

  it('is empty and without error for a finding without its tables', () => {
    expect(mechanismPage({ ...finding, tables: null }).figures).toEqual([]);
    const bare = { ...finding.tables, paths: [], golfers: [], ways: [], curves: [], unmeasured: null };
    expect(mechanismPage({ ...finding, tables: bare }).figures).toEqual([]);
  });
});
