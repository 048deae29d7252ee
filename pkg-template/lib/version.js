/** The package's version, the same as the module's. See index.d.ts. */
export const version = '{{version}}';
