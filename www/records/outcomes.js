// @ts-check
/** Word and shape of how a set compares with those before it. @type {Record<'better' | 'worse' | 'no-real-change', [string, string]>} */
export const OUTCOMES = { better: ['better', 'o-better'], worse: ['worse', 'o-worse'], 'no-real-change': ['no real change', 'o-same'] };
