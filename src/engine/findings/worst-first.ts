// The order of findings: by severity, then by what is at stake times how sure it is; the second of a kind counts half, the third a quarter.

import { type Finding, SEVERITIES } from './types.ts'

/**
 * What is at stake when it comes true, 0 to 1: the whole print 1, a limb or a piece around 0.7, looks around 0.5, a note's worth below.
 * Our own judgement, no source; only the order of the sheet hangs on it. Rules that are not named count 0.5.
 */
export const AT_STAKE: Readonly<Record<string, number>> = {
  'does-not-fit': 1,
  'starts-in-air': 0.9,
  vanishes: 0.8,
  'over-melt-limit': 0.8,
  'breaks-in-falls': 0.8,
  snaps: 0.75,
  'laid-on-soft': 0.7,
  'thin-limb': 0.7,
  'recipe-contradiction': 0.7,
  'needs-props': 0.65,
  'small-footing': 0.65,
  threads: 0.6,
  surplus: 0.6,
  'thin-place': 0.6,
  'chewed-filament': 0.6,
  overhang: 0.55,
  'tips-over': 0.5,
  'guessed-scale': 0.4,
  'recipe-departure': 0.4,
  'crowded-edges': 0.2,
}

const DEFAULT_STAKE = 0.5
/** Each further finding of a kind counts this share of the one before: three kinds say more than one kind three times. */
const FURTHER = 0.5

/** Weight of a finding. @param nth 0 for the worst of its kind, 1 for the next */
const weightOf = ({ rule, certainty }: Finding, nth: number): number =>
  (AT_STAKE[rule] ?? DEFAULT_STAKE) * certainty.share * FURTHER ** nth

/**
 * Findings worst first. Within a kind the given order stays, which is each rule's own, worst first.
 * @param findings of all rules; not changed
 */
export const worstFirst = (findings: readonly Finding[]): Finding[] => {
  const nOfKind = new Map<string, number>()
  const weighed = findings.map((finding) => {
    const kind = `${finding.severity} ${finding.rule}`
    const nth = nOfKind.get(kind) ?? 0
    nOfKind.set(kind, nth + 1)
    return { finding, weight: weightOf(finding, nth) }
  })
  return weighed
    .sort(
      (a, b) =>
        SEVERITIES.indexOf(a.finding.severity) - SEVERITIES.indexOf(b.finding.severity) ||
        b.weight - a.weight ||
        a.finding.place.fromMm - b.finding.place.fromMm ||
        (a.finding.id < b.finding.id ? -1 : 1),
    )
    .map(({ finding }) => finding)
}
