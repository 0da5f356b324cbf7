// The verb "stances" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const STANCES: VerbRow = {
  name: 'stances',
  takes: 'FILE',
  summary: 'how to stand or lay a figure, what each stance gives up, and where a cut would help',
  manual: [
    'Tries some two thousand stances by cheap measures (undersides and room for props, steps on the head, weak layers across thin limbs, time, hold on the bed) and looks at the few that no other beats with the whole recipe: beads, real times, heat, strength. Tells for each what it is best at and what it gives up.',
    'FILE may be - for standard input, or crew:NAME for a built-in figure. The turns of a stance are those of --stance in "fettle examine".',
    'Where a thin limb breaks first it tells whether taking it off, printing it lying and gluing it would help: the cut planes, the pin or peg, the hole, and the gain. Nothing is cut; the advice is for the sculpt.',
    'With --json, standard output carries one object of form "fettle-stances", or of form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'total-height', value: 'MM', meaning: 'height of everything, base and headgear included' },
    { long: 'stance', value: 'X,Y,Z', meaning: 'the given stance: turns about x, y, z, degrees', otherwise: '0,0,0' },
    ...CARD_OPTIONS,
    { long: 'most', value: 'N', meaning: 'stances to look at besides the given one, 0 to 8', otherwise: '4' },
    { long: 'directions', value: 'N', meaning: 'directions over the sphere, 100 to 20000', otherwise: '1800' },
    { long: 'svg', value: 'FILE', completes: 'path', meaning: 'also draw the stances side by side' },
    { long: 'json', meaning: 'write the result as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle stances crew:keeper', 'a built-in figure'],
    ['fettle stances ferryman.stl --scale-height 32 --svg stances.svg', 'with pictures'],
  ],
  completes: 'figure',
}
