// What will go wrong: statements with place, evidence, certainty and remedies.

/** breaks: will fail. marks: will show. costs: time or plastic. note: worth knowing. */
export type Severity = 'breaks' | 'marks' | 'costs' | 'note'

/** Severities from worst to least. */
export const SEVERITIES: readonly Severity[] = ['breaks', 'marks', 'costs', 'note']

/** One number that supports a finding. */
export interface Evidence {
  readonly label: string
  readonly value: number
  /** Unit to show, empty for counts. */
  readonly unit: string
  /** The limit it is held against, when there is one. */
  readonly limit?: number
}

/** Settings that a remedy may change. */
export type ChangeKey =
  | 'soleToEyeMm'
  | 'scaleShare'
  | 'stance'
  | 'beadWidthMm'
  | 'leastBeadWidthMm'
  | 'layerHeightMm'
  | 'thickenMm'
  | (string & {})

/** A plain change; "thickenMm" is a change of the sculpt and is examined on outlines grown by half of it. */
export interface Change {
  readonly what: ChangeKey
  readonly from: number | readonly number[]
  readonly to: number | readonly number[]
  /** Changes that belong with it, e.g. waiting with a longer layer time. */
  readonly also?: readonly Change[]
}

/** What the change does, computed by examining the same window again. */
export interface Effect {
  /** True when the finding is gone. */
  readonly resolves: boolean
  /** What is compared, e.g. "thinnest place". */
  readonly label: string
  readonly before: number
  readonly after: number
  readonly unit: string
  /** Change of the print time, min, where it is known and matters. */
  readonly minutes?: number
  /** True when only a few millimetres of height were computed again. */
  readonly windowed?: true
  /** Other findings of the same window that this change brings, by rule. */
  readonly brings: readonly string[]
  /** How many findings those are, where some rules speak more than once. */
  readonly nBrings?: number
}

export interface Remedy {
  readonly id: string
  /** Short imperative, e.g. "Print at 32 mm to the eye". */
  readonly label: string
  readonly change: Change
  /** Null until it has been computed. */
  readonly effect: Effect | null
}

export interface Finding {
  /** Stable: rule, height in tenths and place, e.g. "starts-in-air@124:-31,12". */
  readonly id: string
  /** Name of the rule in the table of rules. */
  readonly rule: string
  readonly severity: Severity
  /** One plain sentence. */
  readonly title: string
  readonly place: {
    readonly fromMm: number
    readonly toMm: number
    readonly point: readonly [number, number, number]
    readonly areaMm2: number
    readonly fromLayer: number
    readonly toLayer: number
  }
  readonly evidence: readonly Evidence[]
  /** 0-1, with the cause of the doubt. */
  readonly certainty: { readonly share: number; readonly cause: string }
  /** Why this is so: the working in words, with model and source. */
  readonly why: string
  readonly remedies: readonly Remedy[]
}
