// Advice as lines for a terminal.

import type { Advice, AdvicePick, Sensitivity } from '../advise/index.ts'
import { wrap } from './help.ts'
import { tame } from './terminal.ts'
import { TRIAL_ROWS } from './trial-run.ts'

const list = (words: readonly string[]): string => words.join('; ')

const pickLines = (pick: AdvicePick, number: number): string[] => {
  const { changes, gains, givesUp, isBase, isWithinLimits, numbers } = pick
  const head = `${number}  ${isBase ? 'the recipe as given' : changes.length === 1 ? 'one change' : `${changes.length} changes`}${isWithinLimits ? '' : ' (beyond the limits)'}`
  const facts = TRIAL_ROWS.filter(([label]) => label !== 'threads').map(
    ([label, value]) => `${label} ${value(numbers)}`,
  )
  return [
    head,
    ...wrap(tame(facts.join(' · ')), 5),
    ...changes
      .map((change) => wrap(tame(change), 7))
      .flatMap(([first = '', ...rest]) => [`     - ${first.trimStart()}`, ...rest]),
    ...(gains.length > 0 ? wrap(tame(`brings: ${list(gains)}`), 5) : []),
    ...wrap(
      tame(givesUp.length > 0 ? `gives up: ${list(givesUp)}` : 'gives up nothing against the others of this list'),
      5,
    ),
    ...(pick.departs.length > 0 ? wrap(tame(`departs from common practice: ${list(pick.departs)}`), 5) : []),
    '',
  ]
}

const signed = (value: number, digits: number): string => `${value > 0 ? '+' : ''}${Number(value.toFixed(digits))}`

const stepLine = ({ label, unit, step, printS, massG, halfBreakM, shapeMm3 }: Sensitivity): string => {
  const isShare = unit === 'share, 0-1'
  const head = `${label} +${Number((isShare ? step * 100 : step).toPrecision(3))}${isShare ? ' %' : unit ? ` ${unit}` : ''}`
  const effects = [
    `${signed(printS / 60, 1)} min`,
    `${signed(massG, 2)} g`,
    ...(halfBreakM === null ? [] : [`fall ${signed(halfBreakM, 3)} m`]),
    ...(shapeMm3 === null ? [] : [`${signed(shapeMm3, 1)} mm3 out of place`]),
  ]
  return `  ${head.padEnd(28)}${effects.join(', ')}`
}

/** The whole answer. */
export const adviceText = (name: string, { picks, sensitivities, missed, basis, nEstimated, nLaid }: Advice): string =>
  `${[
    ...wrap(
      tame(
        `${name}: ${nEstimated} recipes estimated, ${nLaid} laid; ${picks.length === 1 ? 'one is told' : `${picks.length} are told`}.`,
      ),
    ),
    ...missed.flatMap((words) => wrap(tame(`Not kept: ${words}.`), 2)),
    '',
    ...picks.flatMap((pick, i) => pickLines(pick, i + 1)),
    'Around the first of them, one step of each setting:',
    ...sensitivities.map(stepLine),
    '',
    ...basis.flatMap((sentence) => wrap(tame(sentence))),
  ].join('\n')}\n`
