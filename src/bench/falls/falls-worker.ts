// Lets the figure that is shown fall in many attitudes, tells each as soon as it is known, and makes the worst ready for drawing.

import { dropExamination, type ExamineSettings } from '../../engine/examine/index.ts'
import { partOf } from '../../engine/kernel/index.ts'
import type { DropByModes, DropFloor, ModalAttitude } from '../../engine/strength/index.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { examinedAsSheet } from '../work/examined-as-sheet.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'
import { type DrawnFall, drawnFall } from './turn-figure.ts'
import { worstApart } from './worst-apart.ts'

export interface FallsInput {
  readonly file: FileInput
  readonly settings: ExamineSettings
  /** Handed back with what is known on the way. */
  readonly key: string
  readonly heightM: number
  readonly floor: DropFloor
  /** Attitudes even over the sphere. */
  readonly nAttitudes: number
  /** Leave out the finer cells. */
  readonly isFirstLook: boolean
}

export type FallsAnswer =
  | {
      readonly ok: true
      readonly drop: DropByModes
      /** The worst falls, different from one another, worst first. */
      readonly drawn: readonly { readonly fall: ModalAttitude; readonly drawing: DrawnFall }[]
    }
  | { readonly ok: false; readonly messages: readonly string[] }

/** Sent on the way. */
export interface FallsSoFar {
  readonly key: string
  readonly heightM: number
  readonly floor: DropFloor
  readonly nAttitudes: number
  /** In the order in which they were dropped: even ones first, from upright to head down. */
  readonly attitudes: readonly ModalAttitude[]
}

/** Falls that are drawn. */
const N_DRAWN = 4
/** Attitudes between two messages. */
const EVERY = 4

const fallsWork: BenchWork<FallsInput, FallsAnswer> = async (
  { file, settings, key, heightM, floor, nAttitudes, isFirstLook },
  place,
) => {
  const { kit, task, sendPartial } = place
  const examined = await examinedAsSheet(file, settings, place)
  if (!examined.ok) return { ok: false, messages: examined.issues.map(({ message }) => message) }
  const attitudes: ModalAttitude[] = []
  const outcome = await dropExamination(
    examined.value,
    startWasm,
    {
      heightM,
      floor,
      nAttitudes,
      ...(isFirstLook ? { fineCellMm: 0, nChecked: 0 } : {}),
      onAttitude: (attitude) => {
        // The gravest are told once more from the finer cells; they stand in the answer.
        if (attitude.fine) return
        attitudes.push(attitude)
        if (attitudes.length % EVERY === 0)
          sendPartial({ key, heightM, floor, nAttitudes, attitudes: [...attitudes] } satisfies FallsSoFar)
      },
    },
    partOf(task, 0, 0.95),
  )
  if (!outcome.ok) return { ok: false, messages: outcome.issues.map(({ message }) => message) }
  const drop = outcome.value
  const drawn: { fall: ModalAttitude; drawing: DrawnFall }[] = []
  // Each drawing is a step of its own; what it does inside is not told.
  const silent = { signal: task.signal, breathe: task.breathe }
  const worst = worstApart(drop.attitudes, N_DRAWN)
  for (const [k, fall] of worst.entries()) {
    task.onProgress?.(0.95 + (0.05 * k) / worst.length, 'drawing the worst falls')
    const { down, contact, at } = fall
    drawn.push({
      fall,
      drawing: await drawnFall(examined.value.figure.mesh, { down, contact, breaks: at }, kit, silent),
    })
  }
  return { ok: true, drop, drawn }
}

export default fallsWork
