import { solveUpperTransposed } from '../../../numerics/index.ts';
import type { ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import type { Inference } from '../inference/inference.ts';
import { cr2 } from './cr2.ts';
import { hc3 } from './hc3.ts';
import { leastSquaresRows } from './least-squares-rows.ts';

/** Below so many degrees of freedom Satterthwaite's approximation to CR2 is not to be relied on (Tipton 2015). */
const FEW_DEGREES = 4;

export interface RobustAnswer {
  readonly inference: Inference;
  readonly notes: readonly string[];
}

/**
 * The inference a model's `inference.robust` asks for, or what stands in its way. `sigma` is the residual SD in
 * the design's unit.
 */
export function robustInference(design: Design, sigma: number): RobustAnswer | readonly ModelProblem[] {
  const robust = design.model.inference!.robust!;
  const rows = leastSquaresRows(design, sigma);
  if (robust.kind === 'hc3')
    return {
      inference: hc3(rows),
      notes: ['Standard errors do not assume that all residuals have one variance (HC3).'],
    };
  const labels = design.kept.texts(robust.group);
  const levels = new Map([...new Set(labels)].map((level, index) => [level, index]));
  if (levels.size < 2)
    return [
      {
        kind: 'one-level',
        where: '/inference/robust/group',
        found: `only ${labels[0]} in ${robust.group}`,
        expected: 'at least two groups, better twenty or more',
        remedy: 'Name a column with several groups, or use hc3 if the rows are independent.',
      },
    ];
  const group = Int32Array.from(labels, (label) => levels.get(label)!);
  const inference = cr2(rows, group, levels.size);
  const p = rows.p;
  const thin = design.fixedNames.filter((_, index) => {
    const contrast = new Float64Array(p);
    contrast[index] = 1;
    solveUpperTransposed(design.upper, p, contrast);
    return inference.degreesOfFreedom(contrast)! < FEW_DEGREES;
  });
  return {
    inference,
    notes: [
      `Standard errors allow rows of the same ${robust.group} to be alike and to vary unequally (CR2 over ${levels.size} groups, Satterthwaite degrees of freedom).`,
      ...(thin.length > 0
        ? [
            `Fewer than ${FEW_DEGREES} degrees of freedom are left for ${thin.join(', ')}: too few groups speak to it for the p-value and interval to be relied on.`,
          ]
        : []),
    ],
  };
}
