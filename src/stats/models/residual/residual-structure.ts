/**
 * How the residuals of a model scatter and hang together, in parameters that may take any value:
 *
 * - variance by a factor: the logarithm of each level's SD over that of the first level (in the order of their names);
 * - power of the fitted value: SD_i = sigma |v_i|^power, v_i being the conditional fitted value (fixed plus predicted
 *   random effects, offset included) at the estimates, held while the likelihood is maximised and then renewed until
 *   nothing changes. The estimates therefore maximise a pseudo-likelihood, and their standard errors take v as known.
 *   Sources: Pinheiro and Bates (2000), Mixed-Effects Models in S and S-PLUS, sections 5.2 and 5.4; Davidian and
 *   Giltinan (1995), Nonlinear Models for Repeated Measurement Data, section 2.4 (pseudo-likelihood);
 * - first-order autocorrelation: residuals k steps apart in a group correlate as rho^k; the parameter is
 *   Fisher's z = atanh(rho).
 */
export interface ResidualStructure {
  readonly rows: number;
  readonly parameters: readonly ResidualParameter[];
  /** Level of the factor for each row (0 is the reference), or null. */
  readonly level: Int32Array | null;
  /** log |v| less its mean, for each row, or null. */
  readonly logFitted: Float64Array | null;
  readonly series: Series | null;
}

export type ResidualParameter =
  | { readonly kind: 'ratio'; readonly level: string; readonly reference: string }
  | { readonly kind: 'power' /** Power = variable / spread. */; readonly spread: number }
  | { readonly kind: 'autocorrelation' };

/** For each row the one before it in its group (-1 for the first) and how many steps lie between. */
export interface Series {
  readonly previous: Int32Array;
  readonly lag: Int32Array;
}

/** Row i becomes own_i x_i + before_i x_previous(i): then the residuals are independent and of equal variance. */
export interface Whitening {
  readonly own: Float64Array;
  readonly before: Float64Array;
  readonly previous: Int32Array | null;
  /** log |R|, R being the residual covariance in units of the reference variance. */
  readonly logDeterminant: number;
}

/** The whitening at the given values of the structure's parameters. */
export function whiteningAt(structure: ResidualStructure, variables: Float64Array): Whitening {
  const { rows, parameters, level, logFitted, series } = structure;
  const own = new Float64Array(rows);
  const before = new Float64Array(rows);
  const logRatio = [0];
  let power = 0;
  let z = 0;
  parameters.forEach((parameter, i) => {
    const value = variables[i]!;
    if (parameter.kind === 'ratio') logRatio.push(value);
    else if (parameter.kind === 'power') power = value / parameter.spread;
    else z = value;
  });
  let logDeterminant = 0;
  for (let i = 0; i < rows; i++) {
    const logSd = (level ? logRatio[level[i]!]! : 0) + (logFitted ? power * logFitted[i]! : 0);
    logDeterminant += 2 * logSd;
    own[i] = Math.exp(-logSd);
  }
  if (!series) return { own, before, previous: null, logDeterminant };
  const { previous, lag } = series;
  const rho = Math.tanh(z);
  const logSize = Math.log(Math.abs(rho));
  const inverseSd = Float64Array.from(own);
  for (let i = 0; i < rows; i++) {
    const j = previous[i]!;
    if (j < 0) continue;
    const k = lag[i]!;
    const shared = rho === 0 ? 0 : Math.exp(k * logSize) * (rho < 0 && k % 2 === 1 ? -1 : 1);
    // 1 - rho^2k without cancellation near |rho| = 1, where 1 - rho^2 = 1 / cosh(z)^2.
    const left = k === 1 ? Math.cosh(z) ** -2 : rho === 0 ? 1 : -Math.expm1(2 * k * logSize);
    logDeterminant += Math.log(left);
    const scale = 1 / Math.sqrt(left);
    own[i] = inverseSd[i]! * scale;
    before[i] = -shared * inverseSd[j]! * scale;
  }
  return { own, before, previous, logDeterminant };
}
