// @ts-check
/** Why a link or a file was not taken, as one plain sentence. */

const SENTENCES = {
  'not-ours': 'This is not an Underfoot link or file.',
  newer: 'This was made by a newer version. Reload this page while online to update it, then open it again.',
  damaged: 'This link or file is damaged or was changed on its way. Ask for it to be sent again.',
  'too-large': 'This file is larger than any result this page makes, so it was not opened.',
};

/** @typedef {keyof typeof SENTENCES} ShareErrorCode */

export class ShareError extends Error {
  /**
   * @param {ShareErrorCode} code
   * @param {string} [detail] for the console, not for the reader
   */
  constructor(code, detail) {
    super(SENTENCES[code]);
    this.name = 'ShareError';
    this.code = code;
    this.detail = detail;
  }
}
