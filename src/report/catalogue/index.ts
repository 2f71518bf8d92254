export { catalogueHtml, cataloguePage } from './catalogue-page.ts';
