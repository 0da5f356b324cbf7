// The verb "advise" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const ADVISE: VerbRow = {
  name: 'advise',
  takes: 'FILE',
  summary: 'search a recipe for one figure: what to change, and what each choice gives up',
  manual: [
    'Searches layer height, shells, infill, flow, speed, acceleration and least layer time around a recipe for the best trade-off of survival, shape, time and plastic on this figure, and with --stances also the stance. All combinations are estimated from outlines; the few that nothing seems to beat have their beads laid, timed, weighed and dropped by the engine itself.',
    'Tells a short list of recipes that no other one tried beats in everything, the best trade-off first, each with what it changes, what it brings and what it gives up; then what one step of each setting does. Recipes that contradict themselves or depart from common practice are left out, the latter unless --beyond is given. Everything is computed and untried: print the first one before you trust it.',
    'Limits are kept where any recipe keeps them; where none does, the nearest are told and how near they come. The same seed gives the same answer.',
  ],
  options: [
    ...CARD_OPTIONS,
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'most-time', value: 'MIN', meaning: 'longest print, minutes', otherwise: 'no limit' },
    { long: 'most-plastic', value: 'G', meaning: 'heaviest print, grams', otherwise: 'no limit' },
    { long: 'least-fall', value: 'M', meaning: 'height from which at most half of all falls may break it' },
    { long: 'most-off', value: 'MM3', meaning: 'most volume out of place' },
    { long: 'hold', value: 'KEY,...', meaning: 'settings of the recipe that must stay as they are' },
    { long: 'stances', value: 'N', meaning: 'other stances to try as well, 0 to 8', otherwise: '0' },
    { long: 'trials', value: 'N', meaning: 'recipes whose beads are laid, 2 to 200', otherwise: '12' },
    { long: 'list', value: 'N', meaning: 'recipes to tell at most, 1 to 20', otherwise: '5' },
    { long: 'seed', value: 'N', meaning: 'settles ties, so that an answer can be had again', otherwise: '1' },
    { long: 'thorough', meaning: 'lay beads for the effect of each setting too, not only estimate it' },
    { long: 'beyond', meaning: 'also recipes that depart from common practice where the given one does not' },
    { long: 'json', meaning: 'write the advice as JSON' },
    { ...OUT, meaning: 'write the first recipe of the list there' },
    FORCE,
  ],
  examples: [
    ['fettle advise crew:keeper --most-time 60 -o keeper.json', 'the best recipe of an hour'],
    [
      'fettle advise ferryman.stl --least-fall 0.5 --stances 2 --hold layerHeightMm',
      'tougher, at the same layer height',
    ],
  ],
  completes: 'figure',
}
