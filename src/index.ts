/**
 * Proving Range: from captures and a roster's spreadsheets to a tested answer about a drill. Each area is also a
 * subpath of the package, such as `proving-range/stats`.
 */

export * as dataset from './dataset/index.ts';
export * as kinematics from './kinematics/index.ts';
export * as notebook from './notebook/index.ts';
export * as numerics from './numerics/index.ts';
export * as report from './report/index.ts';
export * as stats from './stats/index.ts';
export * as studies from './studies/index.ts';
export * as synthetic from './synthetic/index.ts';
