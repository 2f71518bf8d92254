import { buildGeneralisedDesign } from '../../../../src/stats/models/generalised/build-generalised-design.ts';
import type { GeneralisedDesign } from '../../../../src/stats/models/generalised/generalised-design.ts';
import type { Matrix } from '../dense-oracle.ts';
import type { SmallDesign } from './designs.ts';
import type { OracleModel, OracleTerm } from './oracle.ts';

export function designOf({ model, data }: SmallDesign): GeneralisedDesign {
  const built = buildGeneralisedDesign(model, data);
  if (!('design' in built)) throw new Error(JSON.stringify(built));
  return built.design;
}

/** Columns named by the model, for the oracle: only what the small designs use. */
function columnOf(data: SmallDesign['data'], effect: unknown): number[] {
  if (effect === 'intercept') return data.y!.map(() => 1);
  if (typeof effect === 'string') return data[effect]!.map(Number);
  return data.arm!.map((arm) => (arm === 'drill' ? 1 : 0));
}

/** The oracle's model at named parameters; `factors` holds a factor of each term's covariance. */
export function oracleModel(
  { model, data }: SmallDesign,
  coefficients: readonly number[],
  thresholds: readonly number[],
  factors: readonly Matrix[],
): OracleModel {
  const columns = model.fixed.map((term) =>
    columnOf(
      data,
      term === 'intercept' ? term : 'levels' in term ? term : (term as { column: string }).column,
    ),
  );
  const y = data.y!.map(Number);
  const terms = (model.random ?? []).map((term, t): OracleTerm => {
    const groups = (typeof term.group === 'string' ? [term.group] : term.group).map((name) => data[name]!);
    const labels = y.map((_, i) => groups.map((column) => column[i]).join('/'));
    const levels = [...new Set(labels)].sort();
    const effects = term.effects.map((effect) => columnOf(data, effect));
    return {
      z: y.map((_, i) => effects.map((column) => column[i]!)),
      at: labels.map((label) => levels.indexOf(label)),
      levels: levels.length,
      factor: factors[t]!,
    };
  });
  return {
    kind: model.distribution as OracleModel['kind'],
    y: model.distribution === 'ordinal' ? y.map((value) => value - Math.min(...y)) : y,
    trials: model.trials ? data.n!.map(Number) : y.map(() => 1),
    fixedPart: y.map((_, i) => columns.reduce((sum, column, k) => sum + coefficients[k]! * column[i]!, 0)),
    thresholds,
    terms,
  };
}

/** A lower factor of the covariance with the given SDs and correlations; zero variances are fine. */
export function factorOf(sd: readonly number[], correlation: readonly (readonly number[])[]): Matrix {
  const q = sd.length;
  const l = sd.map(() => new Array<number>(q).fill(0));
  for (let a = 0; a < q; a++)
    for (let b = 0; b <= a; b++) {
      let sum = sd[a]! * sd[b]! * (a === b ? 1 : correlation[a]![b]!);
      for (let k = 0; k < b; k++) sum -= l[a]![k]! * l[b]![k]!;
      l[a]![b] = a === b ? Math.sqrt(Math.max(0, sum)) : l[b]![b]! > 1e-9 ? sum / l[b]![b]! : 0;
    }
  return l;
}
