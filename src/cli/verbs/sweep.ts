// The verb "sweep" in the table.

import { SEVERITIES } from '../../engine/findings/index.ts'
import { CARD_OPTIONS, FORCE, type VerbRow } from '../verb-row.ts'

export const SWEEP: VerbRow = {
  name: 'sweep',
  takes: 'FILE...',
  summary: 'examine many figures with many recipes, over all cores, and go on after a stop',
  manual: [
    'Examines every figure with every recipe, one pair after another in as many worker threads as --jobs says, and prints one table: what fails while printing, how many of ten falls break it, from which height half of them do, what is out of place, minutes and grams. Effects of remedies are left out, heat is that of the layer model; "fettle examine" tells more of a single pair.',
    '--recipes takes recipe files and folders of them, separated by commas; without it the starting recipe is swept.',
    'With --out each pair is written as one JSON line as soon as it is done, under a key made of the contents of figure, recipe and cards and of the version of fettle. The same command run again, after Ctrl-C or a power cut, goes on where it stopped: pairs whose key is there are taken from the file, a half-written last line is cut off, and pairs that could not be examined are tried again. Figures and recipes may be added later.',
    'With --json the lines of all pairs are written to standard output instead of the table, in the order of figures and recipes.',
  ],
  options: [
    {
      long: 'recipes',
      value: 'FILE,...',
      completes: 'path',
      meaning: 'recipe files and folders of them, separated by commas',
      otherwise: 'the starting recipe',
    },
    ...CARD_OPTIONS.filter(({ long }) => long !== 'recipe'),
    { long: 'scale-height', value: 'MM', meaning: 'height from sole to eye line', otherwise: 'guessed for each file' },
    { long: 'jobs', short: 'j', value: 'N', meaning: 'worker threads', otherwise: 'as many as the machine has cores' },
    {
      long: 'out',
      short: 'o',
      value: 'FILE',
      completes: 'path',
      meaning: 'write each pair there as it is done, and go on from what is there',
    },
    { long: 'json', meaning: 'write the lines of all pairs to standard output, not the table' },
    { long: 'force', short: FORCE.short, meaning: 'begin anew: what stands in --out is overwritten' },
    {
      long: 'fail-on',
      value: 'SEVERITY',
      choices: SEVERITIES,
      meaning: 'exit code 1 when a pair has a finding this grave or graver',
      otherwise: 'findings do not change the exit code',
    },
  ],
  examples: [
    ['fettle sweep crew:keeper crew:passenger --recipes fine.json,coarse.json', 'four pairs, one table'],
    [
      'fettle sweep crew/*.stl --recipes recipes/ -o sweep.jsonl -j 2',
      'a collection; run it again to go on after a stop',
    ],
  ],
  completes: 'figure',
}
