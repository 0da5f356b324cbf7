// Falls beside the sheet: ordered from the worker that made it, stopped when that sheet is gone, and laid over its figure.

import { effect } from '@preact/signals'
import type { DropByModes } from '../../engine/strength/index.ts'
import type { SurfaceQuantity } from '../messages.ts'
import type { Bench } from '../pages/bench.ts'
import { sheet } from '../state.ts'
import { workOf } from '../work/work.ts'
import { overFigure } from './over-figure.ts'

// The sheet's worker knows the figure with its beads and bonds already.
export const work = workOf('falls', 'sheet')
let orderedFor = ''

/** What is asked. */
export type FallsWish = Pick<Parameters<typeof work.run>[0], 'heightM' | 'floor' | 'nAttitudes' | 'isFirstLook'>

/** Lets the figure that is shown fall. */
export const letFall = async (bench: Bench, wish: FallsWish): Promise<void> => {
  const file = await bench.figure()
  const { step, key } = bench
  if (!file || !step) return
  orderedFor = key
  const told = await work.run({ file, settings: step.settings, key, ...wish }, key)
  if (told?.ok)
    bench.say(`The falls are known: it survives ${Math.round(100 * told.drop.survived.value)} % of the attitudes.`)
}

/** Quantities of the surface that was seen last, so that they are worked out once. */
let laid: { readonly drop: DropByModes; readonly positions: Float32Array; readonly over: readonly SurfaceQuantity[] }

/** Lays what is known over the figure of the sheet that it belongs to, and stops work for a sheet that is gone. */
export const keepFallsOnSheet = (bench: Bench): (() => void) =>
  effect(() => {
    const { key, isWhole } = bench
    if (work.progress.value && key !== orderedFor) work.stop()
    const known = work.answer.value
    const { surface } = sheet.value
    if (!known || known.of !== key || !known.value.ok || !isWhole || !surface) return
    const { drop } = known.value
    const { positions } = surface
    if (laid?.drop !== drop || laid.positions !== positions)
      laid = { drop, positions, over: overFigure(drop, positions) }
    if (surface.quantities.some(({ values }) => values === laid.over[0].values)) return
    const others = surface.quantities.filter(({ id }) => !id.startsWith('falls-'))
    sheet.value = { ...sheet.value, surface: { ...surface, quantities: [...others, ...laid.over] } }
  })
