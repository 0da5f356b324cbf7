// Works out the whole field of stress of the figure that is shown, and sends what the sheet can draw of it.

import { createFieldRunner, type ExamineSettings, type Track } from '../../engine/examine/index.ts'
import type { FieldPreview } from '../../engine/strength/index.ts'
import { type FieldQuantity, surfaceQuantity } from '../../guide/index.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { displaySurface } from '../display-surface.ts'
import type { SurfaceQuantity } from '../messages.ts'
import { examinedAsSheet } from '../work/examined-as-sheet.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export interface FieldInput {
  readonly file: FileInput
  readonly settings: ExamineSettings
  /** Side of a cell, mm; null: as fine as the memory of a browser allows. */
  readonly cellMm: number | null
}

/** One load as a row of the page. */
export interface FieldRow {
  readonly name: string
  readonly kind: 'push' | 'pull' | 'weight' | 'fall'
  /** N and mm at break; NaN for weight and fall. */
  readonly breakForceN: number
  readonly breakTravelMm: number
  /** Share of strength that the load uses, 0-1 and above. */
  readonly use: number
  readonly heightMm: number
  readonly between: boolean
  /** Error of the force as a share; NaN for weight and fall. */
  readonly error: number
  /** What the quick look says, N; NaN where it says nothing. */
  readonly quickN: number
  readonly words: string
}

export type FieldAnswer =
  | {
      readonly ok: true
      readonly cellMm: number
      readonly rows: readonly FieldRow[]
      readonly basis: readonly string[]
      /** For the vertices of the shown surface. */
      readonly quantities: readonly SurfaceQuantity[]
      /** Each of them in full words. */
      readonly quantityWords: readonly string[]
      readonly track: Track
    }
  | { readonly ok: false; readonly messages: readonly string[] }

/** Sent on the way: travels of the loaded places after a few steps. */
export type FieldPartial = FieldPreview

/** A browser's worker has about 2 GB to itself, and the examination is in it already. */
const MOST_BYTES = 7e8

const fields = createFieldRunner(startWasm)

/** What can be laid over the figure, with names short enough for its legend. */
const LAID_OVER: readonly (readonly [FieldQuantity, string])[] = [
  ['use', 'used by 1 N'],
  ['within', 'within layers'],
  ['between', 'between layers'],
  ['fall', 'used in a fall'],
  ['movement', 'movement'],
]

const strengthWork: BenchWork<FieldInput, FieldAnswer> = async ({ file, settings, cellMm }, place) => {
  const examined = await examinedAsSheet(file, settings, place)
  if (!examined.ok) return { ok: false, messages: examined.issues.map(({ message }) => message) }
  const examination = examined.value
  const outcome = await fields.field(
    examination,
    { cellMm, mostBytes: MOST_BYTES },
    { ...place.task, onPreview: place.sendPartial },
  )
  if (!outcome.ok) return { ok: false, messages: outcome.issues.map(({ message }) => message) }
  const field = outcome.value
  const laid = LAID_OVER.map(([which, name]) => {
    const { name: words, unit, values, from, to } = surfaceQuantity(field, which)
    const quantity: SurfaceQuantity = {
      id: `field-${which}`,
      name,
      unit,
      values,
      from,
      to,
      decimals: to < 0.1 ? 3 : 2,
    }
    return { quantity, words }
  })
  const quick = examination.tracks.find(({ id }) => id === 'snap')
  return {
    ok: true,
    cellMm: field.cellMm,
    rows: field.loads.map(({ name, kind, answer, forceError, quick: says, words }) => ({
      name,
      kind,
      breakForceN: kind === 'push' || kind === 'pull' ? answer.breakForceN : Number.NaN,
      breakTravelMm: kind === 'push' || kind === 'pull' ? answer.breakTravelMm : Number.NaN,
      use: answer.greatestUse,
      heightMm: answer.greatestAt[2],
      between: answer.between,
      error: kind === 'push' || kind === 'pull' ? forceError : Number.NaN,
      quickN: says ? says.forceN : Number.NaN,
      words,
    })),
    basis: field.basis,
    quantities: displaySurface(
      examination.figure.mesh,
      laid.map(({ quantity }) => quantity),
    ).quantities,
    quantityWords: laid.map(({ words }) => words),
    track: {
      id: 'field-snap',
      question: 'what snaps it, whole field',
      quantity: 'least force, whole field',
      unit: 'N',
      values: field.layerBreakForceN,
      ...(quick ? { other: { label: 'quick look', values: quick.values } } : {}),
      ...(quick?.limit ? { limit: quick.limit } : {}),
      from: 0,
      to: quick?.to ?? 6,
      drawn: 'line',
      decimals: 2,
      why: `Least force of a push or pull on the weakest limbs that uses up the strength somewhere in this layer, from stresses all through the figure on cubes of ${field.cellMm} mm; linear.`,
    },
  }
}

export default strengthWork
