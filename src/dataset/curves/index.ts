/** Curves over the downswing, in files beside the tables. */

export { CURVE_INSTANTS_FILE, CURVES_FILE, type CurveSet, type MeasuredCurve } from './curve-set.ts';
export { CURVES_RESOURCE } from './curves-resource.ts';
export { loadCurves } from './load-curves.ts';
export { type ReadCurveInstants, readCurveInstants } from './read-curve-instants.ts';
export { type ReadCurves, readCurves } from './read-curves.ts';
