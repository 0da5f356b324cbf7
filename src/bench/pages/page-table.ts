// The pages beside the sheet, one line each; their code comes when they are first opened.

import type { ComponentType } from 'preact'
import type { Bench } from './bench.ts'

export interface BenchPage {
  /** Stands in the address. */
  readonly id: string
  /** On the button in the head: one or two words. */
  readonly name: string
  /** The one question that the page answers. */
  readonly question: string
  /** What must be there before it can be opened. */
  readonly needs: 'nothing' | 'a figure' | 'the whole sheet'
  readonly load: () => Promise<{ readonly default: ComponentType<{ readonly bench: Bench }> }>
}

/** In the order in which they stand in the head; the first nine open by the keys 1 to 9. */
export const PAGES: readonly BenchPage[] = [
  {
    id: 'strength',
    name: 'Stress',
    question: 'What does a push, its weight or a fall do all through the figure, and does it bear out the quick look?',
    needs: 'the whole sheet',
    load: () => import('../strength/strength-page.tsx'),
  },
  {
    id: 'falls',
    name: 'Falls',
    question: 'What breaks when it falls off the table, and how does it lie when that happens?',
    needs: 'the whole sheet',
    load: () => import('../falls/falls-page.tsx'),
  },
  {
    id: 'soft',
    name: 'Heat',
    question: 'Would thinner layers or another speed keep this place firm?',
    needs: 'a figure',
    load: () => import('../soft/soft-page.tsx'),
  },
  {
    id: 'stances',
    name: 'Stances',
    question: 'How should it stand or lie on the bed, and what does each way give up?',
    needs: 'a figure',
    load: () => import('../stances/stances-page.tsx'),
  },
  {
    id: 'tray',
    name: 'Tray',
    question: 'What shares a bed, in what order, how long, and how likely is it to lose the lot?',
    needs: 'a figure',
    load: () => import('../tray/tray-page.tsx'),
  },
  {
    id: 'recipe',
    name: 'Recipe',
    question: 'Is the recipe right, which would suit this figure better, and what becomes of it with another nozzle?',
    needs: 'a figure',
    load: () => import('../advise/advise-page.tsx'),
  },
  {
    id: 'notebook',
    name: 'Notebook',
    question: 'What do I know already, and how do I carry it along?',
    needs: 'nothing',
    load: () => import('../notebook/notebook-page.tsx'),
  },
  {
    id: 'publish',
    name: 'Publish',
    question: 'How do others follow this, on other machines?',
    needs: 'the whole sheet',
    load: () => import('../publish/publish-page.tsx'),
  },
  {
    id: 'trials',
    name: 'Trials',
    question: 'What should be printed next, what does the outcome say, and what is behind a symptom?',
    needs: 'nothing',
    load: () => import('../trials/trials-page.tsx'),
  },
  {
    id: 'pictures',
    name: 'Pictures',
    question: 'Which picture of this sheet is wanted, and how large?',
    needs: 'a figure',
    load: () => import('../pictures/pictures-page.tsx'),
  },
]
