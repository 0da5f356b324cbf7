// The verb "plan" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const TRIALS_FILE = {
  long: 'trials',
  value: 'FILE',
  completes: 'file',
  meaning: 'record of trials, a JSON file; entries are only ever added to it',
} as const

export const TRIALS_NOTEBOOK = {
  long: 'notebook',
  value: 'FILE',
  completes: 'file',
  meaning: 'notebook that keeps the record of trials, in place of --trials',
} as const

export const PLAN: VerbRow = {
  name: 'plan',
  takes: '[WORD...]',
  summary: 'what test print to make next, how sure it is, when to stop',
  manual: [
    '"fettle plan" lists the small pieces, what each asks, and the settings it can judge. "fettle plan PIECE SETTING" plans the next coupon along that one setting from the record of trials: chance of a good print at every level with the range that holds it nine times of ten, the levels that teach most, and whether it is time to stop. Plain up and down (Dixon and Mood) stands beside it.',
    'SETTING is nozzle, flow, fan, outer-speed, retraction or layer-time. The nozzle goes by 5 deg C and never more; one setting is changed at a time. Only outcomes of the same printer and filament card count.',
    'The prior comes from the cards and from the engine, which lays the piece and works out where it should turn; --quick leaves the engine out.',
  ],
  options: [
    { ...TRIALS_FILE, otherwise: 'an empty record' },
    TRIALS_NOTEBOOK,
    ...CARD_OPTIONS,
    { long: 'rows', value: 'N', meaning: 'rows of the next coupon, 1 to 6', otherwise: '3' },
    {
      long: 'wanted',
      value: 'PERCENT',
      meaning: 'a level works when so many of a hundred prints come out good',
      otherwise: '85',
    },
    { long: 'quick', meaning: "leave the engine's forecast out" },
    { long: 'json', meaning: 'write the plan as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle plan', 'pieces and what they judge'],
    ['fettle plan pins nozzle --trials keeper.json', 'the next temperatures to try against strings'],
    ['fettle plan pins nozzle --notebook ferry.notebook', 'the same from the trials of a notebook'],
  ],
  completes: 'none',
}
