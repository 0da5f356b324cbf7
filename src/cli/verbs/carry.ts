// The verb "carry" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const CARRY: VerbRow = {
  name: 'carry',
  takes: 'FILE',
  summary: 'carry a recipe over to another nozzle, feed, filament or machine',
  manual: [
    'Reads a recipe that was made for one pair of cards and translates it to another, keeping what matters: plastic of the shells, melt rate and with it layer time, the shape of the motion, the heat of thin parts. Each changed line is told with its reason, then what was kept and what was not, then what the checks of a recipe say of the result.',
    '--printer and --filament are the cards the recipe was made for; --to-printer and --to-filament those it goes to. --bore screws another nozzle into the machine; what that does to its card follows from the bore, and for the volume rate from memory.',
    'With --figure both recipes are examined on that figure and held side by side. The result is computed and untried: its name says so until you change it.',
  ],
  options: [
    ...CARD_OPTIONS.filter(({ long }) => long !== 'recipe'),
    {
      long: 'to-printer',
      value: 'FILE',
      completes: 'file',
      meaning: 'printer card it goes to',
      otherwise: 'the one it comes from',
    },
    {
      long: 'to-filament',
      value: 'FILE',
      completes: 'file',
      meaning: 'filament card it goes to',
      otherwise: 'the one it comes from',
    },
    { long: 'bore', value: 'MM', meaning: 'bore of the new nozzle, 0.1 to 1.2 mm' },
    { long: 'figure', value: 'FILE', completes: 'file', meaning: 'examine both recipes on this figure' },
    { long: 'scale-height', value: 'MM', meaning: 'height of that figure from sole to eye line', otherwise: 'guessed' },
    { long: 'json', meaning: 'write lines, numbers kept, checks and recipe as JSON' },
    { ...OUT, meaning: 'write the carried recipe there' },
    { long: 'card', value: 'FILE', completes: 'path', meaning: 'write the printer card with the new nozzle there' },
    FORCE,
  ],
  examples: [
    ['fettle carry mine.json --bore 0.25 -o fine.json', 'the same recipe for a finer nozzle'],
    [
      'fettle carry mine.json --to-printer direct.json --figure crew:keeper',
      'for another machine, and tried on a figure',
    ],
  ],
  completes: 'code',
}
