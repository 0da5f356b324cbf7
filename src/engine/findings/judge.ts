// The table of rules, and the one function that applies them all.

import type { RoomResults } from './results.ts'
import type { Rule } from './rule.ts'
import { overhang, span } from './rules/hangs-out.ts'
import { laidOnSoft, lingers, softByBed, tooQuick, weakBond } from './rules/heat.ts'
import { crowdedMesh, guessedScale, overlappingShells, smallFooting, tornMesh } from './rules/mesh-state.ts'
import {
  chewed,
  cornersTooFast,
  doesNotFit,
  layerTimeJumps,
  overMeltLimit,
  shortLayers,
  speedNotReached,
  threads,
} from './rules/print-motion.ts'
import { gaps, shellsAlone, surplus } from './rules/print-room.ts'
import { contradictsItself, departsFromPractice } from './rules/recipe-checks.ts'
import { bendsWhilePrinted, buckles, heavierForNothing, tipsOver, weakAcross } from './rules/stands-and-bends.ts'
import { rimInAir, startsInAir } from './rules/starts-in-air.ts'
import { breaksInFalls, snaps } from './rules/strength.ts'
import { curls, needsProps, sags, startsOnFace, stepsOnFace } from './rules/surface.ts'
import { thinLimb } from './rules/thin-limb.ts'
import { thinPlace } from './rules/thin-place.ts'
import { smallDetails, vanishes } from './rules/vanishes.ts'
import type { Finding } from './types.ts'
import { worstFirst } from './worst-first.ts'

/** Rules that look at beads, times and plastic. */
export const PRINT_RULES: readonly Rule[] = [
  doesNotFit,
  overMeltLimit,
  chewed,
  threads,
  surplus,
  gaps,
  shortLayers,
  layerTimeJumps,
  cornersTooFast,
  speedNotReached,
  shellsAlone,
  contradictsItself,
  departsFromPractice,
]

/** Rules that look at temperatures. */
export const HEAT_RULES: readonly Rule[] = [laidOnSoft, tooQuick, lingers, weakBond, softByBed]

/** Every rule, one line each. To add one, write it in rules/ and name it here. */
export const RULES: readonly Rule[] = [
  startsInAir,
  vanishes,
  snaps,
  breaksInFalls,
  tipsOver,
  bendsWhilePrinted,
  buckles,
  weakAcross,
  heavierForNothing,
  thinLimb,
  thinPlace,
  rimInAir,
  overhang,
  span,
  smallDetails,
  smallFooting,
  doesNotFit,
  overMeltLimit,
  chewed,
  threads,
  surplus,
  gaps,
  shortLayers,
  layerTimeJumps,
  cornersTooFast,
  speedNotReached,
  shellsAlone,
  contradictsItself,
  departsFromPractice,
  ...HEAT_RULES,
  stepsOnFace,
  needsProps,
  sags,
  startsOnFace,
  curls,
  tornMesh,
  crowdedMesh,
  overlappingShells,
  guessedScale,
]

/** Rule of a finding. */
export const ruleOf = (id: string): Rule | undefined => RULES.find((rule) => rule.id === id)

/** Rules that need outlines and relations only. */
export const OUTLINE_RULES: readonly Rule[] = RULES.filter((rule) => rule.byOutlines)

/** Several notes of one rule as one finding: the one of largest area, with the number of the others. */
const foldNotes = (findings: Finding[]): Finding[] => {
  const notes = findings.filter((f) => f.severity === 'note')
  if (notes.length < 2) return findings
  const largest = notes.reduce((a, b) => (b.place.areaMm2 > a.place.areaMm2 ? b : a))
  const others = notes.length - 1
  return [
    ...findings.filter((f) => f.severity !== 'note'),
    {
      ...largest,
      title: `${largest.title}; ${others} smaller like it`,
      evidence: [...largest.evidence, { label: 'others like it', value: others, unit: '' }],
    },
  ]
}

/** All findings of an examination, worst first; remedies still without effects. */
export const judge = (results: RoomResults, rules: readonly Rule[] = RULES): Finding[] =>
  worstFirst(rules.flatMap((rule) => (rule.foldsNotes ? foldNotes(rule.look(results)) : rule.look(results))))
