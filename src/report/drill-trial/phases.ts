/** The phases of a trial in the order of time, and how each is called on a page. */
export const phases = ['baseline', 'training', 'post', 'retention'] as const;

export const phaseWords = {
  baseline: 'before',
  training: 'in training',
  post: 'after',
  retention: 'later',
} as const;
