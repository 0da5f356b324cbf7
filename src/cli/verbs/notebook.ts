// The verb "notebook" in the table.

import { FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const NOTEBOOK: VerbRow = {
  name: 'notebook',
  takes: '[WORD...]',
  summary: 'keep, list, carry and merge what you know: one file, nothing lost',
  manual: [
    'A notebook is one file (SQLite) that keeps figures, recipes, cards, examinations, trials and their outcomes, pictures and guides. Entries are only ever added; what no longer holds is withdrawn by a new entry. NOTEBOOK is its path; it is made when something is first added. Nothing needs a notebook: every other verb works on plain files.',
    '"fettle notebook add NOTEBOOK FILE..." keeps files, told by content: recipes and cards, records of trials, data of sheets ("fettle examine --json"), figures, guides, and anything else as an attachment. crew:NAME is a built-in figure. Pictures lose place and camera data before they are kept.',
    '"fettle notebook list NOTEBOOK" tells what holds, "fettle notebook history NOTEBOOK" everything that was ever written. "fettle notebook show NOTEBOOK ID" prints what an entry holds, or writes its file with -o; the beginning of an ID is enough. "fettle notebook trials NOTEBOOK" prints the record of trials for the other verbs.',
    '"fettle notebook withdraw NOTEBOOK ID" undoes an entry by a new one; withdrawing the withdrawal brings it back.',
    '"fettle notebook export NOTEBOOK -o FILE" writes one whole file to carry; "fettle notebook import NOTEBOOK OTHER..." takes others in, also those from the bench; "fettle notebook merge A B... -o FILE" makes a new one of several. What both know stands once.',
    'One process at a time: another one waits three seconds, then says who holds the file. After a crash nothing has to be put in order by hand.',
  ],
  options: [
    { long: 'name', value: 'TEXT', meaning: 'name to keep a single FILE under', otherwise: 'its own' },
    { long: 'note', value: 'TEXT', meaning: 'why it is withdrawn, or what an attachment shows' },
    { long: 'of', value: 'ID', meaning: 'entry that an attachment belongs to' },
    { long: 'kind', value: 'KIND', meaning: 'list entries of one kind only' },
    {
      long: 'at',
      value: 'MOMENT',
      meaning: 'moment to write down, such as 2026-11-25T18:04:00Z',
      otherwise: "the machine's clock",
    },
    { long: 'json', meaning: 'answer as JSON' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle notebook add ferry.notebook keeper.stl evening.json trials.json', 'keep a figure, a recipe and trials'],
    ['fettle notebook list ferry.notebook', 'what holds'],
    ['fettle notebook export ferry.notebook -o carried.notebook', 'one file, for another machine or the bench'],
    ['fettle notebook merge mine.notebook yours.notebook -o ours.notebook', 'nothing lost, nothing twice'],
  ],
  completes: 'none',
}
