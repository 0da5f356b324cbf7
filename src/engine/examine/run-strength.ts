// What breaks, from outlines, plan and filament card; and its track in the height log.

import type { RoomResults } from '../findings/index.ts'
import type { Task } from '../kernel/index.ts'
import { type QuickStrength, quickStrength } from '../strength/index.ts'
import { printedBody } from './printed-body.ts'
import type { ExamineSettings, Track } from './types.ts'

/** The quick look of the strength room, with what the recipe puts inside. */
export const runStrength = (results: RoomResults, settings: ExamineSettings, task?: Task): Promise<QuickStrength> =>
  quickStrength(
    results.figure,
    results.layers,
    results.relations,
    settings.filament,
    printedBody(settings, results.print, results.heat),
    task,
  )

/** Force that a finger applies without noticing, N. From memory. */
const LIGHT_PUSH_N = 1
/** End of the axis, N: what takes more than this in the hand is sound. */
const SOUND_N = 6

/** The least force that breaks a limb in each layer. */
export const strengthTrack = ({ heat }: RoomResults, strength: QuickStrength): Track => ({
  id: 'snap',
  question: 'what snaps it',
  quantity: 'least force',
  unit: 'N',
  values: strength.layerBreakForceN,
  limit: { label: 'light push', value: LIGHT_PUSH_N, bad: 'below' },
  from: 0,
  to: SOUND_N,
  drawn: 'line',
  decimals: 2,
  why: `Least force of a hand, over pushes, pulls and pinches on all limbs, that breaks something in this layer: limbs as a frame of beams with their true sections, stress against the limit of the plastic along or across layers (Tsai-Hill), large bending by the elastica. ${heat?.full ? 'Strength across layers is that of an ordinary bar, less where the computed bond is weaker.' : 'Bonds between layers count as those of an ordinary bar.'}`,
})
