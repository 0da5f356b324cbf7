// The record of trials as it is stored: what was printed, what was seen, what was withdrawn. Plain values only; entries are never changed.

import * as v from 'valibot'

/** Settings that a ladder may walk along: keys of a recipe. */
export const LADDER_SETTINGS = [
  'nozzleC',
  'flowShare',
  'fanShare',
  'outerShellSpeedMmPerS',
  'retractionMm',
  'leastLayerTimeS',
] as const
export type LadderSetting = (typeof LADDER_SETTINGS)[number]

/** Questions that have a coupon of their own. */
export const COUPON_QUESTIONS = ['posts', 'comb', 'pins', 'rods', 'box'] as const
export type CouponQuestion = (typeof COUPON_QUESTIONS)[number]

/** What a person can see, count or measure. Units: count, mm, g; yes is 1 and no is 0. */
export const MEASURES = ['good', 'strings', 'gaps', 'leaning', 'sag', 'wall', 'snap'] as const
export type Measure = (typeof MEASURES)[number]

/** Longest lists and texts that are read: a real record stays far below. */
export const RECORD_LIMITS = Object.freeze({
  entries: 20_000,
  levels: 40,
  readings: 400,
  attachments: 40,
  name: 200,
  note: 4000,
})

const idText = v.pipe(v.string(), v.regex(/^[a-z0-9][a-z0-9-]{2,63}$/, 'an id of 3 to 64 small letters, digits and -'))
const sha256 = v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/, 'a SHA-256 in 64 hex digits'))
const name = v.pipe(v.string(), v.minLength(1), v.maxLength(RECORD_LIMITS.name))
const note = v.pipe(v.string(), v.maxLength(RECORD_LIMITS.note))
const number = v.pipe(v.number(), v.finite(), v.minValue(-1e6), v.maxValue(1e6))
const count = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(100_000))
/** Day or moment as the person's machine told it: 2026-11-25 or 2026-11-25T18:04:00Z. */
const when = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d{1,3})?)?(Z|[+-]\d\d:\d\d)?)?$/, 'a date such as 2026-11-25'),
)
const levels = v.pipe(v.array(number), v.minLength(1), v.maxLength(RECORD_LIMITS.levels))

/** A file that belongs to an outcome, known by the hash of its bytes. The bytes are kept elsewhere. */
const attachmentSchema = v.strictObject({ sha256, name, bytes: v.pipe(v.number(), v.integer(), v.minValue(0)) })
export type Attachment = Readonly<v.InferOutput<typeof attachmentSchema>>

/** One thing seen at one level. `of` says how many were looked at, for counts; else null. */
const readingSchema = v.pipe(
  v.strictObject({
    level: number,
    measure: v.picklist(MEASURES),
    value: v.pipe(v.number(), v.finite(), v.minValue(0), v.maxValue(1e6)),
    of: v.nullable(count),
  }),
  v.check(({ value, of }) => of === null || value <= of, 'a count no greater than how many were looked at'),
)
export type Reading = Readonly<v.InferOutput<typeof readingSchema>>

/** One print made to learn something: one setting changed, everything else as the recipe says. */
const trialSchema = v.pipe(
  v.strictObject({
    kind: v.literal('trial'),
    id: idText,
    at: when,
    /** A coupon by its question, or the figure itself (printed with whatever program the person uses). */
    piece: v.picklist([...COUPON_QUESTIONS, 'figure']),
    setting: v.picklist(LADDER_SETTINGS),
    /** Levels of the setting in the order they were laid: the order is part of the record. */
    levels,
    /** Which run of the ladder this is: the second has the order reversed. */
    run: v.picklist([1, 2]),
    /** The recipe's own value of the setting. */
    recipeValue: number,
    recipe: v.strictObject({ name, sha256: v.nullable(sha256) }),
    printer: name,
    filament: name,
    figure: v.nullable(v.strictObject({ name, sha256: v.nullable(sha256) })),
    /** The coupon's motion code. */
    codeSha256: v.nullable(sha256),
    note,
  }),
  v.check(({ piece, figure }) => piece !== 'figure' || figure !== null, 'a figure named where the piece is a figure'),
)
export type Trial = Readonly<v.InferOutput<typeof trialSchema>>

/** What came out. An outcome that corrects another one names it; the other stays in the record. */
const outcomeSchema = v.strictObject({
  kind: v.literal('outcome'),
  id: idText,
  at: when,
  trial: idText,
  replaces: v.nullable(idText),
  readings: v.pipe(v.array(readingSchema), v.minLength(1), v.maxLength(RECORD_LIMITS.readings)),
  attachments: v.pipe(v.array(attachmentSchema), v.maxLength(RECORD_LIMITS.attachments)),
  note,
})
export type TrialOutcome = Readonly<v.InferOutput<typeof outcomeSchema>>

/** Undoes an entry by a new one. Withdrawing a withdrawal brings the entry back. */
const withdrawalSchema = v.strictObject({ kind: v.literal('withdrawal'), id: idText, at: when, of: idText, note })
export type Withdrawal = Readonly<v.InferOutput<typeof withdrawalSchema>>

/** A symptom that was looked into: what was seen, what was answered, which change was named. */
const diagnosisSchema = v.strictObject({
  kind: v.literal('diagnosis'),
  id: idText,
  at: when,
  symptoms: v.pipe(v.array(name), v.minLength(1), v.maxLength(40)),
  answers: v.pipe(v.array(v.strictObject({ question: name, answer: name })), v.maxLength(80)),
  /** Most likely first; chances 0-1. */
  causes: v.pipe(
    v.array(v.strictObject({ cause: name, chance: v.pipe(v.number(), v.minValue(0), v.maxValue(1)) })),
    v.maxLength(40),
  ),
  change: note,
})
export type DiagnosisEntry = Readonly<v.InferOutput<typeof diagnosisSchema>>

/** One entry of the record. */
export const entrySchema = v.variant('kind', [trialSchema, outcomeSchema, withdrawalSchema, diagnosisSchema])
export type TrialEntry = Trial | TrialOutcome | Withdrawal | DiagnosisEntry

/** The record as a file: entries in the order they were made, oldest first. */
export interface TrialsRecord {
  readonly form: 'fettle-trials'
  readonly version: 1
  readonly entries: readonly TrialEntry[]
}
export const EMPTY_RECORD: TrialsRecord = Object.freeze({ form: 'fettle-trials', version: 1, entries: [] })
