import type { DetailedHTMLProps, HTMLAttributes } from 'react';
import type { UnderfootSet } from './element.js';

/** `import type {} from 'underfoot/jsx'` tells React's JSX of `<underfoot-set>`. */
declare module 'react' {
  namespace JSX {
    interface IntrinsicElements {
      'underfoot-set': DetailedHTMLProps<HTMLAttributes<UnderfootSet>, UnderfootSet> & { src?: string };
    }
  }
}
