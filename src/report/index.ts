/** Findings and figures as pages, drawings and files. */

export { type LinearAxisOptions, linearAxis, niceTicks } from './axis.ts';
export { coverageFigures as calibrationFigures } from './calibration/coverage-figure.ts';
export { catalogueHtml, cataloguePage } from './catalogue/index.ts';
export { tableCsv, textOfCell } from './csv.ts';
export { type Curve, type CurveFigureOptions, curveFigure } from './curve-figure.ts';
export { type DataTableOptions, dataTableHtml } from './data-table.ts';
export { drillTrialFigureList as drillTrialFigures } from './drill-trial/figures.ts';
export { escapeMarkup, isolated, jsonForScript, shortLabel, visibleText } from './escape.ts';
export {
  archiveReadme,
  CRATE_FILE,
  type CrateAbout,
  type CrateFile,
  compareDocuments,
  crateMetadata,
  type Difference,
  findChromium,
  pagePdf,
  type ReadmeParts,
  zipArchive,
} from './export/index.ts';
export type * from './figure.ts';
export { type FigureHtmlOptions, figureHtml } from './figure-html.ts';
export { type FigureSvgOptions, figureSvg } from './figure-svg.ts';
export { findingPage } from './finding-page.ts';
export { findingSummaryHtml } from './finding-summary.ts';
export { instructorsFigures } from './instructors/instructors-page.ts';
export { type MarkdownOptions, markdownToHtml } from './markdown.ts';
export { mechanismFigures } from './mechanism/mechanism-page.ts';
export {
  type MotionPicture,
  motionPictureHtml,
  motionPictureSvg,
  type StickFigure,
} from './motion-picture.ts';
export { noiseFigures } from './noise/noise-page.ts';
export { notTheDifference } from './not-the-difference.ts';
export { decimalsFor, formatChange, formatInterval, formatNumber, formatQuantity } from './numbers.ts';
export { oneGolferFigures } from './one-golfer/figures.ts';
export { degreesBySign } from './own-words.ts';
export { type PageShellOptions, pageShell } from './page-shell.ts';
export { type ColourName, colour } from './palette.ts';
export { gridFigures as planFigures } from './plan/grid-figure.ts';
export { figureToPlotly, type PlotlyFigure } from './plotly-figure.ts';
export { waveformFigures } from './waveform/waveform-page.ts';
export { reportFiles, type WrittenReport, writeReport } from './write-report.ts';
