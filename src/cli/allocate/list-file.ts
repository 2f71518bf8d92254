export const LIST = 'sealed-list.json';
