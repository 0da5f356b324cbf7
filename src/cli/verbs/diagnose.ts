// The verb "diagnose" in the table.

import { CARD_OPTIONS, type VerbRow } from '../verb-row.ts'
import { TRIALS_FILE, TRIALS_NOTEBOOK } from './plan.ts'

export const DIAGNOSE: VerbRow = {
  name: 'diagnose',
  takes: '[WORD...]',
  summary: 'from symptoms to causes, the best question, the one change to make',
  manual: [
    'Ranks causes with their chances from the symptoms seen, the answers given, what recipe and cards say, and with --figure what the examination of the figure says: surplus outside the nozzle or pressure inside it, gear passes, melt rate. Names the question that separates the causes best and the one change to make.',
    'Without words it lists the symptoms and the questions: damp filament, a wrong feed, uneven diameter, a worn or part-blocked nozzle are things no engine sees.',
    'Chances of the causal model are from memory of workshop practice, rough: their order is what counts.',
    'Hands off hot and moving parts; where local rules or the makers say otherwise, they come first.',
  ],
  options: [
    { long: 'not', value: 'LIST', meaning: 'symptoms looked for and not seen, separated by commas' },
    { long: 'answers', value: 'LIST', meaning: 'answers as NAME=ANSWER, separated by commas' },
    { long: 'figure', value: 'FILE', completes: 'file', meaning: 'figure to examine for evidence, or crew:NAME' },
    ...CARD_OPTIONS,
    { ...TRIALS_FILE, meaning: 'record of trials to put the diagnosis into' },
    { ...TRIALS_NOTEBOOK, meaning: 'notebook to put the diagnosis into, in place of --trials' },
    { long: 'date', value: 'DAY', meaning: 'day for the record, e.g. 2026-11-25', otherwise: 'today' },
    { long: 'json', meaning: 'write the diagnosis as JSON' },
  ],
  examples: [
    ['fettle diagnose strings', 'what may be behind strings, and what to find out first'],
    ['fettle diagnose strings blobs --answers "crackle=no" --figure crew:keeper', 'with the figure examined'],
  ],
  completes: 'none',
}
