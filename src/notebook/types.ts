// What a notebook holds: entries that are only ever added, and bytes known by their hash.

import * as v from 'valibot'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { readFilamentCard, readPrinterCard, readRecipe } from '../recipe/index.ts'
import { checkEntry } from '../trials/index.ts'

/** A JSON value. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json }

/** Largest things that are taken; real notebooks stay far below. */
export const NOTEBOOK_LIMITS = Object.freeze({
  entries: 500_000,
  payloadCharacters: 400_000,
  /** Bytes of one figure, picture or page, before packing. */
  bytesOfOne: 128_000_000,
  fileBytes: 4_000_000_000,
  name: 200,
  note: 4000,
  findings: 200,
})

export const ENTRY_KINDS = [
  'figure',
  'recipe',
  'printer',
  'filament',
  'examination',
  'trial',
  'attachment',
  'guide',
  'note',
  'withdrawal',
] as const
export type EntryKind = (typeof ENTRY_KINDS)[number]

const hash = v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/, 'a SHA-256 in 64 hex digits'))
const name = v.pipe(v.string(), v.minLength(1), v.maxLength(NOTEBOOK_LIMITS.name))
const text = v.pipe(v.string(), v.maxLength(NOTEBOOK_LIMITS.note))
const size = v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(1e12))
const finite = v.pipe(v.number(), v.finite())

const fileSchema = v.strictObject({ name, sha256: hash, bytes: size })
const figureSchema = fileSchema
export type FigurePayload = Readonly<v.InferOutput<typeof figureSchema>>

/** The short form of an examination: enough to compare and to publish, not to draw. */
const examinationSchema = v.strictObject({
  toolVersion: name,
  fileName: name,
  fileSha256: hash,
  settingsSha256: hash,
  recipeSha256: v.nullable(hash),
  verdict: text,
  soleToEyeMm: finite,
  totalHeightMm: finite,
  massG: v.nullable(finite),
  printS: v.nullable(finite),
  findings: v.pipe(
    v.array(
      v.strictObject({
        rule: name,
        severity: v.picklist(['breaks', 'marks', 'costs', 'note']),
        title: text,
        fromMm: finite,
        toMm: finite,
        /** 0-1. */
        sure: v.pipe(v.number(), v.minValue(0), v.maxValue(1)),
      }),
    ),
    v.maxLength(NOTEBOOK_LIMITS.findings),
  ),
})
export type ExaminationPayload = Readonly<v.InferOutput<typeof examinationSchema>>

/** A file that belongs to something: a photograph, a coupon's motion code. */
const attachmentSchema = v.strictObject({
  ...fileSchema.entries,
  /** Entry it belongs to, or null. */
  of: v.nullable(hash),
  caption: text,
})
export type AttachmentPayload = Readonly<v.InferOutput<typeof attachmentSchema>>

/** A guide that was published. */
const guideSchema = v.strictObject({ ...fileSchema.entries, version: name, date: name })
export type GuidePayload = Readonly<v.InferOutput<typeof guideSchema>>

const noteSchema = v.strictObject({ of: v.nullable(hash), text: v.pipe(text, v.minLength(1)) })
const withdrawalSchema = v.strictObject({ of: hash, note: text })

/** A trial, outcome, withdrawal or diagnosis of the trials' record; refs are the entries its own ids point at, in their order. */
const trialSchema = v.strictObject({
  entry: v.record(v.string(), v.unknown()),
  refs: v.pipe(v.array(hash), v.maxLength(4)),
})

/** Moment of an entry, UTC: 2026-11-25T18:04:00.000Z. */
export const MOMENT = /^\d{4}-(0\d|1[0-2])-[0-3]\dT[0-2]\d:[0-5]\d:[0-5]\d\.\d{3}Z$/

/** One entry. Its id is the hash of kind, moment and payload, so the same entry has the same id in every notebook. */
export interface Entry {
  readonly id: string
  readonly kind: EntryKind
  readonly at: string
  /** Hash of the payload alone: tells entries of the same content. */
  readonly content: string
  readonly payload: Json
}

const bySchema =
  (schema: v.GenericSchema) =>
  (payload: Json): string | null => {
    const read = v.safeParse(schema, payload)
    if (read.success) return null
    const [issue] = read.issues
    return `${v.getDotPath(issue) ?? 'it'}: ${issue.message.slice(0, 150)}`
  }

const byForm =
  (read: (text: string) => Outcome<unknown>) =>
  (payload: Json): string | null => {
    const outcome = read(JSON.stringify(payload))
    return outcome.ok ? null : outcome.issues[0].message
  }

const trialFault = (payload: Json): string | null => {
  const shape = bySchema(trialSchema)(payload)
  if (shape) return shape
  const checked = checkEntry((payload as { entry: unknown }).entry)
  return checked.ok ? null : checked.issues[0].message
}

/** What is wrong with a payload, or null; one check a kind. */
const FAULTS: Readonly<Record<EntryKind, (payload: Json) => string | null>> = {
  figure: bySchema(figureSchema),
  recipe: byForm(readRecipe),
  printer: byForm(readPrinterCard),
  filament: byForm(readFilamentCard),
  examination: bySchema(examinationSchema),
  trial: trialFault,
  attachment: bySchema(attachmentSchema),
  guide: bySchema(guideSchema),
  note: bySchema(noteSchema),
  withdrawal: bySchema(withdrawalSchema),
}

const isKind = (kind: string): kind is EntryKind => (ENTRY_KINDS as readonly string[]).includes(kind)

/** Checks kind, moment and payload of an entry from outside. Codes "notebook/kind", "notebook/moment", "notebook/payload". */
export const checkPayload = (kind: string, at: string, payload: Json): Outcome<EntryKind> => {
  if (!isKind(kind))
    return failed('notebook/kind', `An entry is of the kind "${kind.slice(0, 40)}", which this program does not know.`)
  if (!MOMENT.test(at) || Number.isNaN(Date.parse(at)))
    return failed('notebook/moment', `An entry's moment is "${at.slice(0, 40)}", expected 2026-11-25T18:04:00.000Z.`)
  const fault = FAULTS[kind](payload)
  return fault ? failed('notebook/payload', `The ${kind} does not hold what one holds: ${fault}`) : good(kind)
}

/** Ids of entries that an entry points at. */
export const refsOf = ({ kind, payload }: Pick<Entry, 'kind' | 'payload'>): readonly string[] => {
  if (kind === 'trial') return (payload as unknown as { refs: readonly string[] }).refs
  const of = (payload as { readonly of?: Json }).of
  return typeof of === 'string' ? [of] : []
}

/** Hash of the bytes an entry speaks of, or null. */
export const bytesOfEntry = ({ kind, payload }: Pick<Entry, 'kind' | 'payload'>): string | null =>
  kind === 'figure' || kind === 'attachment' || kind === 'guide' ? (payload as unknown as FigurePayload).sha256 : null
