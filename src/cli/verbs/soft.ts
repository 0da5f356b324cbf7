// The verb "soft" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const SOFT: VerbRow = {
  name: 'soft',
  takes: 'FILE',
  summary: 'how deep a thin place softens again with other layer heights and outer-shell speeds',
  manual: [
    'Follows the heat of every bead, then asks one place of the figure again with layer heights from 0.05 to 0.2 mm and outer-shell speeds from 10 to 45 mm/s, so that a rule of the workshop is borne out or refuted with numbers. Each answer follows a few millimetres of height, started from what the whole run has kept.',
    'FILE may be - for standard input, or crew:NAME for a built-in figure. Without --at the place that softens deepest is asked about. Speeds are asked twice: with the slow-down for the least layer time, which often leaves no difference, and as typed.',
    'With --json, standard output carries one object of form "fettle-soft", or of form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    { long: 'at', value: 'MM', meaning: 'height to ask about', otherwise: 'where it softens deepest' },
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'total-height', value: 'MM', meaning: 'height of everything, base and headgear included' },
    { long: 'stance', value: 'X,Y,Z', meaning: 'turn about x, then y, then z, in degrees', otherwise: '0,0,0' },
    ...CARD_OPTIONS,
    { long: 'svg', value: 'FILE', completes: 'path', meaning: 'also draw depth against layer height and speed' },
    { long: 'json', meaning: 'write the answer as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle soft crew:keeper --at 15', "the keeper's boat-hook at 15 mm"],
    ['fettle soft ferryman.stl --svg soft.svg', 'where it softens deepest, with a picture'],
  ],
  completes: 'figure',
}
