// Types alone, see jsx.d.ts.
export {};
