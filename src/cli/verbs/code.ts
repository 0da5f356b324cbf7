// The verb "code" in the table.

import { CARD_OPTIONS, DWELL_UNIT, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const CODE: VerbRow = {
  name: 'code',
  takes: 'FILE',
  summary: 'tell what a print file lays down, how long it takes, what it leaves unclear',
  manual: [
    'Reads plain motion code (RS-274 / ISO 6983 words with a filament axis) and infers beads, layers, widths, heights and roles from geometry and volume alone; comments play no part, and nothing in the file is executed or followed. FILE may be - for standard input.',
    'Tells plastic, grams and minutes by layer and role, plastic against room, threads, gear passes and melt rate; lists words that are not known or not followed with line numbers and what that does to the time, malformed lines with line and column, what was decided and why, and how sure each inference is.',
    'Acceleration and corner speed are those the file sets; where it sets none, the recipe is taken. Limits of the machine come from the printer card, diameter and density from the filament card.',
    'With --json, standard output carries one object of form "fettle-code", or of form "fettle-trouble" for a file that could not be read.',
  ],
  options: [
    ...CARD_OPTIONS,
    DWELL_UNIT,
    { long: 'strict', meaning: 'exit code 1 when a line is malformed or a word is not known' },
    { long: 'all', short: 'a', meaning: 'every layer and every word', otherwise: 'bands of layers, the first words' },
    { long: 'json', meaning: 'write the report as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle code demo/mooring-post.gcode', 'a print file written by hand'],
    ['fettle code - --strict < ferryman.gcode', 'from standard input, for a script'],
  ],
  completes: 'code',
}
