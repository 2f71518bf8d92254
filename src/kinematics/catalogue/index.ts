export {
  instantCatalogue,
  isMetricColumn,
  metricByColumn,
  metricCatalogue,
  metricRelations,
  quantityCatalogue,
} from './catalogue.ts';
export type {
  DifferenceOf,
  InstantDefinition,
  InstantWay,
  MetricDefinition,
  MetricKind,
  MetricRelation,
  MetricUnit,
  NeverBelow,
  QuantityDefinition,
  RatioOf,
  SourceKnown,
  SuspectReading,
  UsuallyAbove,
} from './definition.ts';
export type { MetricColumn } from './generated/columns.ts';
