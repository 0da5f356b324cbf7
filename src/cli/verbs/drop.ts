// The verb "drop" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

/** Floors that a figure falls on. */
export const FLOORS = ['stone', 'wood', 'carpet'] as const

export const DROP: VerbRow = {
  name: 'drop',
  takes: 'FILE',
  summary: 'let a figure fall in many attitudes and tell what breaks first',
  manual: [
    'Finds how the figure vibrates, lets it fall in attitudes spread evenly over the sphere, in its poses of rest and over its edge from standing, and follows each blow in time: contact, dents, rigid motion, vibrations. Tells how many attitudes it survives, where it breaks first, and the worst ones again on finer cells. "fettle examine" holds a quicker look at the same.',
    'FILE may be - for standard input, or crew:NAME for a built-in figure.',
    'With --json, standard output carries one object of form "fettle-drop", or of form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'total-height', value: 'MM', meaning: 'height of everything, base and headgear included' },
    { long: 'stance', value: 'X,Y,Z', meaning: 'turn about x, then y, then z, in degrees', otherwise: '0,0,0' },
    ...CARD_OPTIONS,
    { long: 'from', value: 'M', meaning: 'height of the fall in metres, 0.05 to 5', otherwise: '1' },
    { long: 'floor', value: 'KIND', choices: FLOORS, meaning: 'what it falls on', otherwise: 'stone' },
    { long: 'attitudes', value: 'N', meaning: 'attitudes over the sphere, 4 to 512', otherwise: '64' },
    { long: 'coarse', meaning: 'leave out the finer cells for the worst attitudes' },
    { long: 'json', meaning: 'write the answer as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle drop crew:keeper', 'off the table, on stone'],
    ['fettle drop ferryman.stl --from 0.5 --floor carpet', 'half as high, on carpet'],
  ],
  completes: 'figure',
}
