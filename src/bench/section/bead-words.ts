// What lies in a layer, in words: beads round, gap beads, what fills the inside, time, surplus, threads.

import { BEAD_ROLES, type BeadRole } from '../../engine/beads/index.ts'
import { STRING_CAUSES, SURPLUS_CAUSES } from '../../engine/melt/index.ts'
import { shown } from '../../picture/index.ts'
import type { PrintFacts } from '../messages.ts'

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six'] as const
const spelled = (n: number): string => NUMBERS[n] ?? String(n)

/** Surplus and void below this are not worth a word: share of what is laid, mm2. */
const SAID_SURPLUS = 0.005
const SAID_EMPTY_MM2 = 0.02

/** Beads by what they are, e.g. "2 outer shells, 14 infill", where nobody has said how they belong together. */
const roleWords = (n: Uint32Array): string =>
  BEAD_ROLES.flatMap((role, k) =>
    n[k] ? [`${n[k]} ${role}${n[k] > 1 && /shell|bead|loop|deposit/.test(role) ? 's' : ''}`] : [],
  ).join(', ')

/** Beads of a whole layer by what they are. */
export const layerBeadWords = (printed: PrintFacts, layer: number): string => {
  const n = new Uint32Array(BEAD_ROLES.length)
  for (let b = printed.layerStart[layer]; b < printed.layerStart[layer + 1]; b++) n[printed.role[b]]++
  return roleWords(n)
}

/** Beads of one island, e.g. "two beads round, a gap bead inside, no infill". */
export const beadWords = (printed: PrintFacts, layer: number, island: number): string => {
  const n = new Uint32Array(BEAD_ROLES.length)
  for (let b = printed.layerStart[layer]; b < printed.layerStart[layer + 1]; b++)
    if (printed.island[b] === island) n[printed.role[b]]++
  const of = (role: BeadRole): number => n[BEAD_ROLES.indexOf(role)]
  const { report } = printed
  if (!report) return roleWords(n)
  const round = report.shellsLaid[island]
  const words = [round === 1 ? 'one bead round' : `${spelled(round)} beads round`]
  const inside = round > 0 ? ' inside' : ''
  const gaps = of('gap bead')
  if (gaps) words.push(gaps === 1 ? `a gap bead${inside}` : `${spelled(gaps)} gap beads${inside}`)
  const deposits = of('point deposit')
  if (deposits) words.push(deposits === 1 ? 'a point deposit' : `${spelled(deposits)} point deposits`)
  if (report.emptyArea[island] > SAID_EMPTY_MM2) words.push(`${shown(report.emptyArea[island], 2)} mm² left empty`)
  if (of('cap')) words.push('solid cap')
  if (of('infill')) words.push(`infill at ${Math.round(100 * printed.infillShare)} %`)
  else if (!of('cap')) words.push('no infill')
  return words.join(', ')
}

/** Time, surplus and threads of a layer, one phrase each. */
export const layerWords = (printed: PrintFacts, layer: number): readonly string[] => {
  const real = printed.layerRealS[layer]
  const typed = printed.layerTypedS[layer]
  const words = [
    Math.abs(real - typed) < 0.05 ? `${shown(real, 1)} s` : `${shown(real, 1)} s (as typed ${shown(typed, 1)} s)`,
  ]
  const surplus = printed.laidMm3[layer] > 0 ? printed.overflowMm3[layer] / printed.laidMm3[layer] : 0
  if (surplus >= SAID_SURPLUS)
    words.push(`${shown(100 * surplus, 1)} % has no room, by ${SURPLUS_CAUSES[printed.surplusCause[layer]]}`)
  const { strings } = printed
  const crossings = strings.layerCrossings[layer]
  if (crossings) {
    const causes = new Set<string>()
    for (let s = 0; s < strings.nCrossings; s++)
      if (strings.layer[s] === layer && strings.cause[s]) causes.add(STRING_CAUSES[strings.cause[s]])
    const threads = strings.layerThreads[layer]
    words.push(
      `${crossings} ${crossings === 1 ? 'travel' : 'travels'} over air, ` +
        (threads
          ? `${threads} ${threads === 1 ? 'leaves a thread' : 'leave a thread'} by ${[...causes].join(' and ')}`
          : 'none leaves a thread'),
    )
  }
  return words
}
