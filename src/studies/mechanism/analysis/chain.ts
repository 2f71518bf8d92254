import type { Stream } from '../../../numerics/index.ts';
import {
  alongRoute,
  type BootstrapInterval,
  bootstrapClusters,
  bootstrapInterval,
  drawsOf,
  ownSlopes,
  pooledProducts,
  recursivePaths,
  slopeCovariance,
  totalAlong,
} from '../../../stats/index.ts';
import { type Frame, productsOf } from './frame.ts';

/** Paths inside golfers along a chain of columns, pooled over golfers, per unit. */
export interface Chain {
  readonly columns: readonly string[];
  readonly corrected: boolean;
  /** The slope of the second on the first, the columns before the second held. */
  readonly paths: readonly { readonly from: string; readonly to: string; readonly estimate: Drawn }[];
  /** What the first does to the last along each route, the longest first. */
  readonly routes: readonly { readonly route: readonly string[]; readonly estimate: Drawn }[];
  /** Along all routes together. */
  readonly total: Drawn;
  /** Chain of three: the longest route with the covariance of golfers' own slopes added; null where not estimable. */
  readonly varying: Drawn | null;
  readonly golfers: number;
  readonly swings: number;
  readonly draws: number;
  readonly failed: number;
}

export interface Drawn {
  readonly value: number;
  readonly standardError: number;
  readonly interval: readonly [number, number];
  readonly monteCarloError: readonly [number, number];
}

export interface ChainRequest {
  readonly frame: Frame;
  readonly columns: readonly string[];
  readonly corrected: boolean;
  readonly level: number;
  readonly draws: number;
  readonly stream: Stream;
}

/**
 * The paths of a chain by least squares on deviations from each golfer's own level, less what measurement error adds where
 * `corrected`; intervals by drawing golfers with all their swings. Null where the golfers cannot tell the paths.
 */
export function chainOf(request: ChainRequest): Chain | null {
  const { frame, columns, corrected, level, draws, stream } = request;
  const n = columns.length;
  const products = productsOf(frame, columns);
  const routes = routesOf(n);
  const own = n === 3 ? ownSlopes(products) : null;
  const pairs = Array.from({ length: n }, (_, to) =>
    Array.from({ length: to }, (_, from) => [from, to] as const),
  ).flat();
  const statistic = (counts: Float64Array | null): number[] | null => {
    const slopes = recursivePaths(pooledProducts(products, counts, corrected), n);
    if (slopes === null) return null;
    const along = routes.map((route) => alongRoute(slopes, n, route));
    const shared = own === null ? null : slopeCovariance(own, 3, 7, counts);
    return [
      ...pairs.map(([from, to]) => slopes[to * n + from]!),
      ...along,
      totalAlong(slopes, n, 0, n - 1),
      shared === null ? Number.NaN : along[0]! + shared,
    ];
  };
  const found = statistic(null);
  if (found === null || frame.golfers < 3) return null;
  const drawn = bootstrapClusters(frame.golfers, found.length, statistic, draws, stream, false);
  const read = (at: number): Drawn | null => {
    const values = drawsOf(drawn, at);
    if (!Number.isFinite(found[at]) || values.filter(Number.isFinite).length < Math.max(40, 0.9 * draws))
      return null;
    const interval: BootstrapInterval = bootstrapInterval({
      draws: values,
      estimate: found[at]!,
      level,
      clusters: frame.golfers,
    });
    return {
      value: found[at]!,
      standardError: interval.standardError,
      interval: interval.interval,
      monteCarloError: interval.monteCarloError,
    };
  };
  const estimates = found.map((_, at) => read(at));
  const all = estimates.slice(0, -1);
  if (all.some((estimate) => estimate === null)) return null;
  return {
    columns,
    corrected,
    paths: pairs.map(([from, to], at) => ({ from: columns[from]!, to: columns[to]!, estimate: all[at]! })),
    routes: routes.map((route, at) => ({
      route: route.map((station) => columns[station]!),
      estimate: all[pairs.length + at]!,
    })),
    total: all.at(-1)!,
    varying: estimates.at(-1)!,
    golfers: frame.golfers,
    swings: frame.size,
    draws,
    failed: drawsOf(drawn, 0).filter((value) => !Number.isFinite(value)).length,
  };
}

/** Every way from the first to the last, by way of something in between; the longest first. */
function routesOf(n: number): number[][] {
  const subsets: number[][] = [[]];
  for (let station = 1; station < n - 1; station++) subsets.push(...subsets.map((set) => [...set, station]));
  return subsets
    .filter((set) => set.length > 0)
    .map((set) => [0, ...set, n - 1])
    .sort((a, b) => b.length - a.length);
}
