import './element.js';

export {};
