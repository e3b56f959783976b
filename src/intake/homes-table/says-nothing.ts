const NOTHING = /^(?:[?\-–—.]*|n\.?\/?a\.?|none|null|unknown|unk\.?|not known|not sure|no idea|no record|tbd)$/i

/** Whether a cell says that something is not known, or nothing at all: `?`, `n/a`, `unk`, `-`. */
export const saysNothing = (cell: string): boolean => NOTHING.test(cell.trim().replace(/^\?+\s*(?=\S)/, ''))
