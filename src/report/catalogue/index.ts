export { cataloguePage } from './catalogue-page.ts';
