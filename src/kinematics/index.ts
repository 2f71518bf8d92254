export * from './catalogue/index.ts';
