// Registers <underfoot-set>. The only entry that does something when imported.
import { defineUnderfoot } from './element.js';

defineUnderfoot();
