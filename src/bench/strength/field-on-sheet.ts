// The whole field beside the sheet: ordered from the worker that made the sheet, and laid over figure and log as long as that sheet is shown.

import { effect, signal } from '@preact/signals'
import { Cancelled } from '../../engine/kernel/index.ts'
import type { Bench } from '../pages/bench.ts'
import { type Progress, paint, sheet } from '../state.ts'
import { orderForSheet } from '../work/order.ts'
import type { FieldAnswer, FieldPartial } from './strength-worker.ts'

export const progress = signal<Progress | null>(null)
export const trouble = signal('')
/** Travels on the way, by the loads that are solved together. */
export const early = signal<readonly FieldPartial[]>([])
/** The last answer, and which sheet it belongs to. */
export const answer = signal<{ readonly of: string; readonly value: FieldAnswer } | null>(null)

let stopper: AbortController | null = null
let orderedFor = ''

export const stopField = (): void => stopper?.abort()

/** Works the field out for what is shown. */
export const workOutField = async (bench: Bench, cellMm: number | null): Promise<void> => {
  const file = await bench.figure()
  const { step, key } = bench
  if (!file || !step) return
  stopper?.abort()
  const mine = new AbortController()
  stopper = mine
  orderedFor = key
  trouble.value = ''
  early.value = []
  progress.value = { share: 0, doing: 'starting' }
  try {
    const value = await orderForSheet(
      'wholeField',
      { file, settings: step.settings, cellMm },
      {
        signal: mine.signal,
        onProgress: (share, doing) => {
          if (stopper === mine) progress.value = { share, doing }
        },
        onPartial: (part) => {
          if (stopper === mine) early.value = [...early.value, part as FieldPartial]
        },
      },
    )
    if (stopper !== mine) return
    if (!value.ok) trouble.value = value.messages.join(' ')
    answer.value = { of: key, value }
    bench.say(value.ok ? 'The whole field of stress is known.' : trouble.value)
  } catch (fault) {
    if (stopper !== mine) return
    if (fault instanceof Cancelled) bench.say('Stopped. Nothing is kept of the field.')
    else trouble.value = `It broke off: ${fault instanceof Error ? fault.message : String(fault)}. Try again.`
  } finally {
    if (stopper === mine) progress.value = null
  }
}

/** Lays what is known over figure and log of the sheet that it belongs to, and stops work for a sheet that is gone. */
export const keepFieldOnSheet = (bench: Bench): (() => void) =>
  effect(() => {
    const { key, isWhole } = bench
    if (progress.value && key !== orderedFor) stopField()
    const known = answer.value
    const { surface, tracks } = sheet.value
    if (!known || known.of !== key || !known.value.ok || !isWhole || !surface || !tracks) return
    const { quantities, track } = known.value
    if (surface.quantities.some(({ values }) => values === quantities[0]?.values)) return
    sheet.value = {
      ...sheet.value,
      surface: {
        ...surface,
        quantities: [...surface.quantities.filter(({ id }) => !id.startsWith('field-')), ...quantities],
      },
      tracks: [...tracks.filter(({ id }) => id !== track.id), track],
    }
  })

/** Chooses what is laid over the figure. */
export const layOver = (id: string): void => {
  paint.value = id
}
