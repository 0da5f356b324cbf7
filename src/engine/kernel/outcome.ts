// Expected trouble as a value: a bad file or a setting out of range is reported, never thrown.

/** One thing that is wrong, where it is, and what to do about it. */
export interface Issue {
  /** Stable code, room first, e.g. "mesh/short-file". */
  readonly code: string
  /** One sentence: what is wrong, what was expected, what to do. */
  readonly message: string
  /** Where: a byte, a line, a key; omitted when the whole input is meant. */
  readonly place?: { readonly byte?: number; readonly line?: number; readonly column?: number; readonly key?: string }
}

/** Either a value, or a list of issues that kept it from being made. */
export type Outcome<T> =
  | { readonly ok: true; readonly value: T; readonly notes: readonly Issue[] }
  | { readonly ok: false; readonly issues: readonly Issue[] }

/** A good outcome, with notes about what was tolerated on the way. */
export const good = <T>(value: T, notes: readonly Issue[] = []): Outcome<T> => ({ ok: true, value, notes })

/** A failed outcome with one issue. */
export const failed = (code: string, message: string, place?: Issue['place']): Outcome<never> => ({
  ok: false,
  issues: [place ? { code, message, place } : { code, message }],
})
