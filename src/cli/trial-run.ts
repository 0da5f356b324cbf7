// Recipes tried on a figure in a worker: the few numbers by which recipes are compared, and a table of them.

import type { TrialNumbers } from '../advise/index.ts'
import { withRecipe } from '../engine/examine/index.ts'
import type { Outcome } from '../engine/kernel/index.ts'
import { durationWords } from '../guide/index.ts'
import { nodePool } from '../pool/node.ts'
import type { FilamentCard, PrinterCard, Recipe } from '../recipe/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import { WIDTH } from './help.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import type { SettingOptions } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import type { TrialReport, TrialRequest } from './trial-work.ts'
import { inputOf, settingsOfWord } from './worker-verb.ts'

/** A recipe with the cards it is tried on. */
export interface TrialCase {
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

interface Quietness {
  readonly quiet?: boolean
  readonly verbose?: boolean
}

/** Tries recipes one after the other on one figure. Throws CommandTrouble when it cannot be examined, Cancelled when stopped. */
export const trialsOf = async (
  word: string,
  cases: readonly TrialCase[],
  options: Pick<SettingOptions, 'scaleHeight'> & Quietness,
  around: Surroundings,
): Promise<TrialNumbers[]> => {
  const settings = settingsOfWord(word, { scaleHeight: options.scaleHeight }, around)
  const input = await inputOf(word, around)
  const pool = nodePool(around.workerPath)
  const progress = progressFor(tame(input.name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  try {
    const numbers: TrialNumbers[] = []
    for (const { recipe, printer, filament } of cases) {
      const request: TrialRequest = {
        bytes: input.bytes,
        name: input.name,
        settings: withRecipe({ ...settings, printer, filament }, recipe),
      }
      const outcome = await pool.run<Outcome<TrialReport>>('trial', request, {
        signal: around.signal,
        onProgress: (share, doing) => progress.tell((numbers.length + share) / cases.length, doing),
      })
      if (!outcome.ok)
        throw new CommandTrouble(
          outcome.issues.map((issue) => `${input.name}: ${issue.message}${placeOf(issue)}`).join('\n'),
          EXIT.unreadable,
        )
      numbers.push(outcome.value.numbers)
    }
    return numbers
  } finally {
    progress.end()
    await pool.close(true)
  }
}

/** Rows of a table of trials: what is asked, and how to say the answer. */
export const TRIAL_ROWS: readonly (readonly [string, (n: TrialNumbers) => string])[] = [
  ['fails while printing', (n) => `${n.fails} place${n.fails === 1 ? '' : 's'}`],
  ['breaks in falls', (n) => `${Math.round(10 * n.fallsBroken)} of 10`],
  ['half of falls break it', (n) => `from ${n.halfBreakM.toFixed(2)} m`],
  ['least force', (n) => (Number.isFinite(n.leastForceN) ? `${n.leastForceN.toFixed(2)} N` : 'none breaks')],
  ['out of place', (n) => `${n.shapeMm3.toFixed(1)} mm3`],
  ['threads', (n) => String(n.threads)],
  ['time', (n) => durationWords(n.printS)],
  ['plastic', (n) => `${n.massG.toFixed(2)} g`],
]

/** A table with one column a trial, within 80 columns for up to four. */
export const trialTable = (heads: readonly string[], trials: readonly TrialNumbers[]): string[] => {
  const width = Math.min(16, Math.floor((WIDTH - 26) / heads.length))
  const cell = (text: string): string =>
    tame(text)
      .slice(0, width - 1)
      .padStart(width)
  const head = `${''.padEnd(26)}${heads.map(cell).join('')}`
  return [
    head,
    ...TRIAL_ROWS.map(([label, value]) => `  ${label.padEnd(24)}${trials.map((n) => cell(value(n))).join('')}`),
  ]
}
