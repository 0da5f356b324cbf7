// How a print file differs from the plan of the same figure: layers, plastic, time, roles, widths, retractions; gravest first.

import type { BeadPlan } from '../beads/index.ts'
import { BEAD_ROLES } from '../beads/index.ts'
import type { PrintResults } from '../findings/index.ts'
import type { CodeDifference, CodeExamination, RoleSum } from './code-types.ts'

/** Differences smaller than this share of the plan are not told. */
const TOLD = 0.02

/** Beads of a plan summed by role, in the order of BEAD_ROLES. */
export const sumRoles = (plan: BeadPlan): RoleSum[] => {
  const n = new Uint32Array(BEAD_ROLES.length)
  const length = new Float64Array(BEAD_ROLES.length)
  const volume = new Float64Array(BEAD_ROLES.length)
  const width = new Float64Array(BEAD_ROLES.length)
  for (let b = 0; b < plan.nBeads; b++) {
    const role = plan.role[b]
    let own = 0
    for (let i = plan.beadStart[b] + 1; i < plan.beadStart[b + 1]; i++) {
      own += Math.hypot(plan.points[3 * i] - plan.points[3 * i - 3], plan.points[3 * i + 1] - plan.points[3 * i - 2])
    }
    n[role]++
    length[role] += own
    volume[role] += plan.volume[b]
    width[role] += own * plan.width[b]
  }
  return BEAD_ROLES.map((role, r) => ({
    role,
    n: n[r],
    lengthMm: length[r],
    volumeMm3: volume[r],
    widthMm: length[r] > 0 ? width[r] / length[r] : 0,
  })).filter((sum) => sum.n > 0)
}

const shareOf = (plan: number, file: number): number => Math.abs(file - plan) / Math.max(Math.abs(plan), 1e-9)

const shown = (value: number, unit: string): string => {
  const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2
  return `${Number.isInteger(value) ? value : value.toFixed(digits)}${unit ? ` ${unit}` : ''}`
}

const difference = (id: string, label: string, plan: number, file: number, unit: string): CodeDifference => ({
  id,
  label,
  plan,
  file,
  unit,
  share: Math.min(shareOf(plan, file), 99),
  words: `${label}: ${shown(file, unit)} in the file, ${shown(plan, unit)} in the plan`,
})

/** Sum of bead volumes of every layer, mm3, priming loops left out. */
const layerVolumes = (plan: BeadPlan): Float64Array => {
  const outside = new Set([BEAD_ROLES.indexOf('priming loop'), BEAD_ROLES.indexOf('prop')])
  const volumes = new Float64Array(plan.nLayers)
  for (let k = 0; k < plan.nLayers; k++) {
    for (let b = plan.layerStart[k]; b < plan.layerStart[k + 1]; b++) {
      if (!outside.has(plan.role[b])) volumes[k] += plan.volume[b]
    }
  }
  return volumes
}

/** Layers of the plan whose own layer of the file, by height, differs most, at most `most`. */
const worstLayers = (
  planTop: Float64Array,
  planValues: Float64Array,
  fileTop: Float64Array,
  fileValues: Float64Array,
  most: number,
): number[] => {
  const off: [number, number][] = []
  let j = 0
  for (let k = 0; k < planTop.length; k++) {
    while (j + 1 < fileTop.length && Math.abs(fileTop[j + 1] - planTop[k]) <= Math.abs(fileTop[j] - planTop[k])) j++
    off.push([k, Math.abs((fileValues[j] ?? 0) - planValues[k])])
  }
  return off
    .sort((a, b) => b[1] - a[1])
    .slice(0, most)
    .map(([k]) => k)
    .sort((a, b) => a - b)
}

const median = (values: ArrayLike<number>): number => {
  const sorted = Float64Array.from(values).sort()
  return sorted.length > 0 ? sorted[sorted.length >> 1] : 0
}

const countRetractions = (plan: BeadPlan): number => plan.retraction.reduce((n, r) => n + (r > 0 ? 1 : 0), 0)

/** What a file does otherwise than the plan. */
export const compareCode = (print: PrintResults, code: Omit<CodeExamination, 'differences'>): CodeDifference[] => {
  const { plan } = print
  const planRoles = sumRoles(plan)
  const all: CodeDifference[] = [
    difference('layers', 'layers', plan.nLayers, code.plan.nLayers, ''),
    difference('layer-height', 'layer height', median(plan.layerHeight), median(code.plan.layerHeight), 'mm'),
    difference('first-layer', 'first layer height', plan.layerHeight[0], code.plan.layerHeight[0], 'mm'),
    difference('volume', 'plastic', print.report.volumeMm3, code.volumeMm3, 'mm3'),
    difference('time', 'print time', print.timeline.totals.printS / 60, code.timeline.totals.printS / 60, 'min'),
    difference('retractions', 'retractions', countRetractions(plan), code.nRetractions, ''),
    difference('gear', 'most gear passes', print.gear.most, code.gear.most, ''),
    difference(
      'rate',
      'highest melt rate',
      Math.max(...print.limit.layerMost),
      Math.max(...code.limit.layerMost),
      'mm3/s',
    ),
  ]
  const roles = new Set([...planRoles, ...code.roles].map((r) => r.role))
  for (const role of roles) {
    const a = planRoles.find((r) => r.role === role)
    const b = code.roles.find((r) => r.role === role)
    all.push(difference(`volume of ${role}`, `plastic of ${role}`, a?.volumeMm3 ?? 0, b?.volumeMm3 ?? 0, 'mm3'))
    if (a && b && a.lengthMm > 0 && b.lengthMm > 0) {
      all.push(difference(`width of ${role}`, `width of ${role}`, a.widthMm, b.widthMm, 'mm'))
    }
  }
  const worst = worstLayers(plan.layerTopZ, layerVolumes(plan), code.plan.layerTopZ, layerVolumes(code.plan), 5)
  return all
    .filter(({ plan: p, file: f, share }) => share > TOLD && Math.abs(p - f) > 1e-6)
    .map((d) => (d.id === 'volume' ? { ...d, worstLayers: worst } : d))
    .sort((a, b) => b.share - a.share || (a.id < b.id ? -1 : 1))
}
