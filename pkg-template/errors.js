// @ts-check
/** Errors with a stable `code`, so that a host can act on them without reading the sentence. */

export class UnderfootError extends Error {
  /**
   * @param {string} code
   * @param {string} message
   */
  constructor(code, message) {
    super(message);
    this.name = 'UnderfootError';
    this.code = code;
  }
}

/**
 * Runs a call into the module and hands on its errors as UnderfootError.
 * @template T
 * @param {() => T} call
 * @returns {T}
 */
export function guarded(call) {
  try {
    return call();
  } catch (error) {
    const { code, message } = /** @type {any} */ (error);
    throw new UnderfootError(typeof code === 'string' ? code : 'internal', message ?? String(error));
  }
}
