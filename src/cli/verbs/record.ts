// The verb "record" in the table.

import { CARD_OPTIONS, FORCE, type VerbRow } from '../verb-row.ts'
import { TRIALS_FILE, TRIALS_NOTEBOOK } from './plan.ts'

export const RECORD: VerbRow = {
  name: 'record',
  takes: '[WORD...]',
  summary: 'enter outcomes, correct them, learn your own numbers from them',
  manual: [
    '"fettle record TRIAL READING..." enters what was seen, counted or measured of a trial (its id, the beginning of it, or "last"). A reading is LEVEL:MEASURE=VALUE: strings=1/4 and leaning=0/3 and good=7/8 are counts, gaps=yes a look, sag and wall are mm by calipers, snap is grams on a kitchen scale.',
    '"fettle record figure SETTING READING... --figure NAME" enters a print of the figure itself, made with your own program. "fettle record list" shows the record. "fettle record withdraw ID" undoes an entry by a new one; nothing is ever taken out. --replaces ID enters a corrected outcome.',
    '"fettle record numbers" re-estimates air speed, ooze time constant and strength across layers from the outcomes, with the range that holds each nine times of ten; --printer-out and --filament-out write cards that carry them, and their names say so on every sheet.',
    'The record is a JSON file of its own (--trials) or stands in a notebook (--notebook); either is made when it is not there. A notebook is held while it is written, and everything new goes in as one change. In a notebook entries stand in order of time: without --date they carry the moment as well as the day, so that "last" is the one entered last.',
    'Pictures are attached by the hash of their bytes and stay where they are.',
  ],
  options: [
    TRIALS_FILE,
    TRIALS_NOTEBOOK,
    ...CARD_OPTIONS,
    { long: 'figure', value: 'NAME', meaning: 'name of the figure that was printed' },
    { long: 'photo', value: 'FILES', completes: 'file', meaning: 'pictures to attach, separated by commas' },
    { long: 'note', value: 'TEXT', meaning: 'a note' },
    { long: 'replaces', value: 'ID', meaning: 'the outcome that this one corrects' },
    { long: 'date', value: 'DAY', meaning: 'day for the record, e.g. 2026-11-25', otherwise: 'today' },
    { long: 'printer-out', value: 'FILE', completes: 'path', meaning: 'write a printer card with your own numbers' },
    { long: 'filament-out', value: 'FILE', completes: 'path', meaning: 'write a filament card with your own numbers' },
    { long: 'json', meaning: 'answer as JSON' },
    FORCE,
  ],
  examples: [
    ['fettle record last 190:strings=0/4 195:strings=1/4 --trials keeper.json', 'what the last coupon showed'],
    ['fettle record last 195:strings=1/4 --notebook ferry.notebook', 'the same into a notebook'],
    ['fettle record numbers --trials keeper.json --printer-out mine.json', 'a printer card with your own air and ooze'],
  ],
  completes: 'none',
}
