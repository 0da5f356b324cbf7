// The verb "advise": reads the figure, has the worker search, writes the list and the first recipe.

import { existsSync } from 'node:fs'
import {
  ADVICE_DEFAULTS,
  type Advice,
  type AdviceLimits,
  type Levels,
  VARIED_KEYS,
  type VariedKey,
} from '../advise/index.ts'
import { recipeInForce } from '../engine/examine/index.ts'
import type { Outcome } from '../engine/kernel/index.ts'
import { nodePool } from '../pool/node.ts'
import { adviceText } from './advise-text.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import type { SettingOptions } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import type { AdviceRequest } from './trial-work.ts'
import { inputOf, settingsOfWord } from './worker-verb.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface AdviseOptions extends Pick<SettingOptions, 'recipe' | 'printer' | 'filament' | 'scaleHeight'> {
  readonly mostTime?: string
  readonly mostPlastic?: string
  readonly leastFall?: string
  readonly mostOff?: string
  readonly hold?: string
  readonly stances?: string
  readonly trials?: string
  readonly list?: string
  readonly seed?: string
  readonly thorough?: boolean
  readonly beyond?: boolean
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
}

const numberIn = (flag: string, text: string, least: number, most: number, isWhole: boolean): number => {
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (!(value >= least && value <= most) || (isWhole && !Number.isInteger(value)))
    throw new CommandTrouble(
      `${flag} takes a ${isWhole ? 'whole number' : 'number'} from ${least} to ${most}, not "${text}"`,
    )
  return value
}

const LIMITS = [
  ['--most-time', 'mostTime', 'mostMinutes', 1, 10_000],
  ['--most-plastic', 'mostPlastic', 'mostGrams', 0.01, 10_000],
  ['--least-fall', 'leastFall', 'leastFallM', 0.01, 50],
  ['--most-off', 'mostOff', 'mostShapeMm3', 0.01, 1_000_000],
] as const

const limitsFrom = (options: AdviseOptions): AdviceLimits =>
  Object.fromEntries(
    LIMITS.flatMap(([flag, option, key, least, most]) => {
      const text = options[option]
      return text === undefined ? [] : [[key, numberIn(flag, text, least, most, false)]]
    }),
  )

/** Runs the verb. */
export const adviseVerb = async (word: string, options: AdviseOptions, around: Surroundings): Promise<ExitCode> => {
  const { recipe, printer, filament, scaleHeight } = options
  const settings = settingsOfWord(word, { recipe, printer, filament, scaleHeight }, around)
  const own = recipeInForce(settings)
  const held = options.hold === undefined ? [] : options.hold.split(',').map((key) => key.trim())
  const strange = held.find((key) => !VARIED_KEYS.includes(key as VariedKey))
  if (strange !== undefined)
    throw new CommandTrouble(`--hold takes any of ${VARIED_KEYS.join(', ')}, separated by commas, not "${strange}"`)
  const levels: Partial<Levels> = Object.fromEntries(held.map((key) => [key, [own[key as VariedKey]]]))
  const whole = (flag: string, text: string | undefined, otherwise: number, least: number, most: number): number =>
    text === undefined ? otherwise : numberIn(flag, text, least, most, true)
  const { out, force = false } = options
  if (out !== undefined && !force && existsSync(out)) throw overwriteTrouble(out)
  const input = await inputOf(word, around)
  const request: AdviceRequest = {
    bytes: input.bytes,
    name: input.name,
    nStances: whole('--stances', options.stances, 0, 0, 8),
    wish: {
      settings,
      limits: limitsFrom(options),
      stances: [{ stance: settings.stance, words: 'as given' }],
      levels,
      nTrials: whole('--trials', options.trials, ADVICE_DEFAULTS.nTrials, 2, 200),
      most: whole('--list', options.list, ADVICE_DEFAULTS.most, 1, 20),
      seed: whole('--seed', options.seed, ADVICE_DEFAULTS.seed, 0, 2 ** 32 - 1),
      thorough: options.thorough ?? false,
      beyondPractice: options.beyond ?? false,
    },
  }
  const progress = progressFor(tame(input.name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  let outcome: Outcome<Advice>
  try {
    outcome = await pool.run<Outcome<Advice>>('advise', request, { signal: around.signal, onProgress: progress.tell })
  } finally {
    progress.end()
    await pool.close(true)
  }
  if (!outcome.ok)
    throw new CommandTrouble(
      outcome.issues.map((issue) => `${input.name}: ${issue.message}${placeOf(issue)}`).join('\n'),
      EXIT.unreadable,
    )
  const advice = outcome.value
  if (out !== undefined) await writeWhole(out, `${JSON.stringify(advice.picks[0].recipe, null, 2)}\n`, force)
  process.stdout.write(
    options.json
      ? `${JSON.stringify({ form: 'fettle-advice', version: 1, fileName: input.name, ...advice })}\n`
      : adviceText(input.name, advice),
  )
  return EXIT.fine
}
