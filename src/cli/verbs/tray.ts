// The verb "tray" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const TRAY: VerbRow = {
  name: 'tray',
  takes: 'FILE...',
  summary: 'what shares a bed: places, order, time, plastic, risk, calendar',
  manual: [
    'Places copies of several figures on as many beds as they need, by their outlines seen from above with a gap between them, and tells layer times of the shared print, the way between pieces and the threads it may draw, grams and metres by spool, cost, what a lost plate costs and how many per plate lose least, whether printing one after another is possible, and how many together keep thin parts cool.',
    '--copies, --stance, --spool and --recipe take one value for all files, or one for each in their order: numbers, spools and recipe files separated by commas, stances by semicolons. Pieces from different spools or with different layer heights go on different beds.',
    'With --class it also works out a school class for the first file: what fits into the lessons, what must run outside them with an adult present, and a smaller task that fits. Prices, power and the hazard are assumptions; put in your own.',
    'With --json, standard output carries one object of form "fettle-tray", or of form "fettle-trouble".',
  ],
  options: [
    { long: 'copies', value: 'N,...', meaning: 'copies of each file', otherwise: '1' },
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed for each file' },
    { long: 'stance', value: 'X,Y,Z;...', meaning: 'turns about x, y, z, degrees', otherwise: '0,0,0' },
    { long: 'recipe', value: 'FILE,...', completes: 'file', meaning: 'recipe files', otherwise: 'the starting recipe' },
    ...CARD_OPTIONS.filter(({ long }) => long !== 'recipe'),
    { long: 'spool', value: 'NAME,...', meaning: 'spool (plastic and colour) of each file', otherwise: 'one spool' },
    { long: 'left', value: 'NAME=G,...', meaning: 'grams that are on each spool', otherwise: 'not known' },
    { long: 'gap', value: 'MM', meaning: 'least distance between outlines', otherwise: '5' },
    { long: 'margin', value: 'MM', meaning: 'kept free along the edge of the bed', otherwise: '5' },
    { long: 'hazard', value: 'P', meaning: 'chance per hour to lose what is on the bed', otherwise: '0.01' },
    { long: 'start-cost', value: 'H', meaning: 'hours that starting a plate costs', otherwise: '0.25' },
    { long: 'price', value: 'N', meaning: 'price of a kilogram of plastic', otherwise: '20' },
    { long: 'watts', value: 'W', meaning: 'mean power with the bed on', otherwise: '120' },
    { long: 'tariff', value: 'N', meaning: 'price of a kilowatt hour', otherwise: '0.30' },
    { long: 'printers', value: 'N', meaning: 'printers for the calendar', otherwise: '1' },
    { long: 'evening', value: 'H', meaning: 'hours of one evening', otherwise: '4.5' },
    {
      long: 'class',
      value: 'P,M,L,T',
      meaning: 'a class: pupils, machines, lessons, minutes of a lesson',
    },
    { long: 'quick', meaning: 'leave out how many keep thin parts cool' },
    { long: 'svg', value: 'FILE', completes: 'path', meaning: 'also draw the plates in plan, FILE-2 for the second' },
    { long: 'json', meaning: 'write the result as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle tray crew:keeper crew:passenger --copies 2', 'two of each on a bed'],
    ['fettle tray crew:ferry-dog --copies 30 --class 30,3,2,45 --quick', 'a class'],
  ],
  completes: 'figure',
}
