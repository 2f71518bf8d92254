import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  calibrationFigures,
  drillTrialFigures,
  escapeMarkup,
  type Figure,
  figureSvg,
  instructorsFigures,
  mechanismFigures,
  noiseFigures,
  oneGolferFigures,
  planFigures,
  waveformFigures,
} from '../../src/report/index.ts';
import type { Finding } from '../../src/studies/index.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

// biome-ignore lint/suspicious/noExplicitAny: a Finding read from its file has the tables of its study
const FIGURES: Readonly<Record<string, (finding: any) => readonly Figure[]>> = {
  'drill-trial': drillTrialFigures,
  instructors: instructorsFigures,
  mechanism: mechanismFigures,
  noise: noiseFigures,
  'one-golfer': oneGolferFigures,
  plan: planFigures,
  waveform: waveformFigures,
  calibration: calibrationFigures,
};

/**
 * A picture that a text points to, such as `reports/noise/detectable.svg`: the figure of that Finding, drawn once for a wide
 * screen and once for a phone, with its own text alternative. Null where it is none of ours, so that its words stand alone.
 */
export function pictureHtml(file: string, words: string): string | null {
  const [, study, id] = /^reports\/([\w-]+)\/([\w-]+)\.svg$/.exec(file) ?? [];
  const draw = study === undefined ? undefined : FIGURES[study];
  if (draw === undefined) return null;
  const path = join(ROOT, `reports/${study}/finding.json`);
  if (!existsSync(path)) throw new Error(`pictureHtml: ${path} is missing; npm run reports`);
  const figure = draw(JSON.parse(readFileSync(path, 'utf8')) as Finding).find((one) => one.id === id);
  if (figure === undefined) throw new Error(`pictureHtml: the study ${study} draws no figure '${id}'`);
  return `<figure class="figure"><div class="static"><div class="wide">${figureSvg(figure, { width: 700, standalone: false })}</div><div class="narrow">${figureSvg(figure, { width: 328, standalone: false })}</div></div><figcaption>${escapeMarkup(words)}</figcaption></figure>`;
}
