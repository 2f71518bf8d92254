/** Paths inside clusters, indirect effects and their intervals, for any units in clusters. */

export { bootstrapClusters, type ClusterDraws, drawsOf, jackknifeOf } from './bootstrap-clusters.ts';
export {
  type BootstrapInterval,
  type BootstrapIntervalInput,
  bootstrapInterval,
} from './bootstrap-interval.ts';
export { type ClusterProducts, clusterProducts, pooledProducts } from './cluster-products.ts';
export { type Factor, monteCarloProduct } from './monte-carlo-product.ts';
export { productLower, productQuantile, type TwoNormals } from './product-distribution.ts';
export { type ProductInterval, productInterval } from './product-interval.ts';
export { alongRoute, recursivePaths, totalAlong } from './recursive-paths.ts';
export { type Curve, turningPoint } from './turning-point.ts';
export { ownSlopes, slopeCovariance } from './varying-slopes.ts';
