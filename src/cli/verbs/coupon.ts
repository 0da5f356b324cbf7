// The verb "coupon" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'
import { TRIALS_FILE, TRIALS_NOTEBOOK } from './plan.ts'

export const COUPON: VerbRow = {
  name: 'coupon',
  takes: '[WORD...]',
  summary: 'make a small test piece as motion code, read back before it is offered',
  manual: [
    'Makes the coupon PIECE for one setting: posts, comb, pins, rods or box ("fettle plan" tells what each asks). One row of small pieces for every level, laid whole one after the other with room for the head, so that height and layer time are not mistaken for the setting; the nozzle waits for its heat beside the row.',
    'The code is run dry by our own reader and timing first: volume, bounds against the printer card, temperatures and times must agree with the plan, or nothing is offered. Without -o it goes to standard output.',
    'With --reversed the order of the rows is turned round, for the second run. With --trials or --notebook the trial goes into the record, order included. Coupons only: the print file of a figure is never written.',
    'Nozzle and bed are hot and the head moves by itself: stay near, let it cool before you reach in, air the room. Local rules and the makers of machine and filament come first.',
  ],
  options: [
    {
      long: 'levels',
      value: 'LIST',
      meaning: 'levels in the order they are laid, e.g. 190,195,200',
      otherwise: 'those "fettle plan" would try next',
    },
    { long: 'reversed', meaning: 'lay the levels in the opposite order, as the second run' },
    ...CARD_OPTIONS,
    TRIALS_FILE,
    TRIALS_NOTEBOOK,
    { long: 'solid', value: 'FILE', completes: 'path', meaning: 'write the coupon as a solid too, .stl or .ply' },
    { long: 'date', value: 'DAY', meaning: 'day for the record, e.g. 2026-11-25', otherwise: 'today' },
    { long: 'json', meaning: 'tell about the coupon as JSON; the code goes to -o' },
    OUT,
    FORCE,
  ],
  examples: [
    [
      'fettle coupon pins nozzle --levels 190,195,200 -o pins.gcode --trials keeper.json',
      'pins at three temperatures, recorded',
    ],
    ['fettle coupon pins nozzle --levels 190,195,200 --reversed -o again.gcode', 'the second run'],
    [
      'fettle coupon posts layer-time -o posts.gcode --solid posts.ply',
      'levels from the plan, and the solid to look at',
    ],
  ],
  completes: 'none',
}
