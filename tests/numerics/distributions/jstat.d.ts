/** The few functions of jstat that serve as a cross-check. */
declare module 'jstat' {
  const jstat: {
    readonly normal: { cdf(x: number, mean: number, sd: number): number };
    readonly studentt: { cdf(x: number, df: number): number };
    readonly centralF: { cdf(x: number, d1: number, d2: number): number };
    readonly chisquare: { cdf(x: number, df: number): number };
  };
  export default jstat;
}
