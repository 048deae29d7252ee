/**
 * The same interface as the main entry; `init()` needs no second file because the module is inside (as text, a third larger).
 */
export * from './index.js';
