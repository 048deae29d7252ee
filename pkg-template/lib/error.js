// The one kind of error that the package throws.

/** See index.d.ts. */
export class UnderfootError extends Error {
  constructor(code, message, { field = null, cause } = {}) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'UnderfootError';
    this.code = code;
    this.field = field;
  }
}

/** An error about one field, worded as the core words it. */
export function bad(field, reason, code = 'bad-input') {
  return new UnderfootError(code, `${field}: ${reason}`, { field });
}

/** What the module threw, as an UnderfootError. */
export function converted(error) {
  if (error instanceof UnderfootError) return error;
  if (typeof error?.code === 'string') {
    return new UnderfootError(error.code, error.message, { field: error.field ?? null });
  }
  return new UnderfootError(
    'internal',
    'the module stopped on this input, which is a fault of the package: please report it; free this session and make a new one',
    { cause: error },
  );
}
