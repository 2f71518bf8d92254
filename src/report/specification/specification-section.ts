import type { Finding } from '../../studies/index.ts';
import type { Figure } from '../figure.ts';
import { figureHtml } from '../figure-html.ts';
import { section } from '../finding-sections.ts';
import { proseHtml } from '../text-html.ts';
import { specificationFigure } from './specification-figure.ts';

/** The question under every combination of choices: what it says, and the figure; empty where it was not asked. */
export function specificationSection(finding: Finding): {
  readonly html: string;
  readonly figures: readonly Figure[];
} {
  const curve = finding.specifications;
  if (curve === undefined) return { html: '', figures: [] };
  const figure = specificationFigure(finding);
  return {
    html: section(
      'Does the answer survive other choices, all of them at once?',
      `<p>${proseHtml(curve.words)}</p>${figure === null ? '' : figureHtml(figure, { headingLevel: 3 })}`,
    ),
    figures: figure === null ? [] : [figure],
  };
}
