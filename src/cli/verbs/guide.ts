// The verb "guide" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const PAPERS = ['A4', 'Letter'] as const

export const GUIDE: VerbRow = {
  name: 'guide',
  takes: '[WORD...]',
  summary: 'publish a recipe with reasons, evidence and cautions, or open one again',
  manual: [
    '"fettle guide about" prints the form in which you say who you are, whose sculpt it is, under which licence and by whose leave you show it, why lines of the recipe are as they are, and which photographs go in, each with a scale in view. Photographs stand in the folder of that file; place, camera and times are taken out of them.',
    '"fettle guide FILE --about ABOUT -o PAGE" examines the figure and writes one HTML page that others can follow: the figure, the recipe with units and reasons, findings and trials with how sure they are, other machines, symptoms, cautions. No script, nothing loaded from elsewhere. FILE may be crew:NAME. The sculpt itself is not in the page unless --with-sculpt asks for it and the form says that it may be given away.',
    '--trials takes a record of trials, or a notebook whose trials stand; --carried takes what "fettle carry --json" wrote, several files parted by commas. --pdf also prints it, through a browser on this machine. --hand-out writes a form for a class, with blanks for pupils\' own results.',
    '"fettle guide open PAGE" takes recipe and cards out of a published page; nothing else of it is looked at, and nothing is run.',
  ],
  options: [
    { long: 'about', value: 'FILE', completes: 'file', meaning: 'what you say about the guide' },
    ...CARD_OPTIONS,
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed from the file' },
    { long: 'stance', value: 'X,Y,Z', meaning: 'turn about x, then y, then z, in degrees', otherwise: '0,0,0' },
    { long: 'trials', value: 'FILE', completes: 'file', meaning: 'record of trials, or a notebook' },
    { long: 'carried', value: 'FILES', completes: 'file', meaning: 'recipes carried over to other machines' },
    { long: 'with-sculpt', meaning: 'put the sculpt into the page, if the form says that it may be given away' },
    {
      long: 'paper',
      value: 'SIZE',
      choices: PAPERS,
      meaning: 'paper that the page sets',
      otherwise: "the printer's own",
    },
    { ...OUT, meaning: 'write the page, the form or the recipe there' },
    { long: 'pdf', value: 'FILE', completes: 'path', meaning: 'also print the guide as PDF' },
    { long: 'hand-out', value: 'FILE', completes: 'path', meaning: 'also write a hand-out for a class' },
    {
      long: 'printer-out',
      value: 'FILE',
      completes: 'path',
      meaning: 'with open: write the printer card there',
    },
    {
      long: 'filament-out',
      value: 'FILE',
      completes: 'path',
      meaning: 'with open: write the filament card there',
    },
    { long: 'json', meaning: 'with open: everything the page carries, as JSON' },
    FORCE,
  ],
  examples: [
    ['fettle guide about -o about.json', 'the form to fill in'],
    [
      'fettle guide crew:keeper --about about.json --recipe evening.json --trials trials.json -o keeper.html --pdf keeper.pdf',
      'a page and a PDF, with the trials as evidence',
    ],
    ['fettle guide open keeper.html -o evening.json', 'the recipe of a guide that somebody sent you'],
  ],
  completes: 'figure',
}
