// How a print file differs from the plan of the same figure: over the whole print, and height by height; gravest first.
//
// Layers are compared in bands between the heights at which both have a face: where layer heights agree, a band is a layer. Bands
// that are off the same way and stand together make one difference.

import { BEAD_ROLES } from '../beads/index.ts'
import type { PrintResults } from '../findings/index.ts'
import type { CodeDifference, CodeExamination, LayerFacts, RoleSum } from './code-types.ts'
import { layerFacts, N_ROLES, sumRoles } from './layer-facts.ts'

/** Differences smaller than this share of the plan are not told. */
const TOLD = 0.02
/** Faces closer than this are the same height, mm. */
const SAME_MM = 0.01

const shareOf = (plan: number, file: number): number => Math.abs(file - plan) / Math.max(Math.abs(plan), 1e-9)

const shown = (value: number, unit: string): string => {
  const size = Math.abs(value)
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : 2
  return `${Number.isInteger(value) ? value : value.toFixed(digits)}${unit ? ` ${unit}` : ''}`
}

interface Span {
  readonly fromMm: number
  readonly toMm: number
}

/** @param importance how much a print is spoilt when this number is wholly off, 0-1 */
const difference = (
  id: string,
  label: string,
  plan: number,
  file: number,
  unit: string,
  span: Span,
  importance: number,
): CodeDifference => {
  const share = Math.min(shareOf(plan, file), 99)
  return {
    id,
    label,
    plan,
    file,
    unit,
    share,
    ...span,
    weight: importance * Math.min(1, share),
    words: `${label}: ${shown(file, unit)} in the file, ${shown(plan, unit)} in the plan`,
  }
}

const median = (values: ArrayLike<number>): number => {
  const sorted = Float64Array.from(values).sort()
  return sorted.length > 0 ? sorted[sorted.length >> 1] : 0
}

const greatest = (values: ArrayLike<number>): number => {
  let most = 0
  for (let i = 0; i < values.length; i++) if (values[i] > most) most = values[i]
  return most
}

/** Layers of the plan whose own layer of the file, by height, differs most, at most `most`. */
const worstLayers = (plan: LayerFacts, file: LayerFacts, most: number): number[] => {
  const off: [number, number][] = []
  let j = 0
  for (let k = 0; k < plan.nLayers; k++) {
    while (j + 1 < file.nLayers && Math.abs(file.topZ[j + 1] - plan.topZ[k]) <= Math.abs(file.topZ[j] - plan.topZ[k]))
      j++
    off.push([k, Math.abs((file.volumeMm3[j] ?? 0) - plan.volumeMm3[k])])
  }
  return off
    .sort((a, b) => b[1] - a[1])
    .slice(0, most)
    .map(([k]) => k)
    .sort((a, b) => a - b)
}

/** Layers of one side that lie in each band: the first of band i is start[i]. */
interface Bands {
  readonly faceMm: number[]
  readonly planStart: number[]
  readonly fileStart: number[]
}

/** Heights at which both have a face; null when a side does not rise or they never meet. */
const bandsOf = (plan: LayerFacts, file: LayerFacts): Bands | null => {
  const rises = ({ topZ }: LayerFacts): boolean => topZ.every((z, i) => i === 0 || z > topZ[i - 1])
  if (!rises(plan) || !rises(file)) return null
  const bands: Bands = { faceMm: [0], planStart: [0], fileStart: [0] }
  for (let i = 0, j = 0; i < plan.nLayers && j < file.nLayers; ) {
    const apart = plan.topZ[i] - file.topZ[j]
    if (Math.abs(apart) <= SAME_MM) {
      bands.faceMm.push(plan.topZ[i])
      bands.planStart.push(i + 1)
      bands.fileStart.push(j + 1)
      i++
      j++
    } else if (apart < 0) i++
    else j++
  }
  return bands.faceMm.length > 1 ? bands : null
}

/** One number of every band, by the layers of one side. */
type BandValue = (facts: LayerFacts, from: number, to: number) => number

const sumOf =
  (values: (facts: LayerFacts) => Float64Array): BandValue =>
  (facts, from, to) => {
    let sum = 0
    for (let k = from; k < to; k++) sum += values(facts)[k]
    return sum
  }
const meanOf =
  (values: (facts: LayerFacts) => Float64Array): BandValue =>
  (facts, from, to) => {
    let sum = 0
    let n = 0
    for (let k = from; k < to; k++) {
      if (Number.isNaN(values(facts)[k])) continue
      sum += values(facts)[k]
      n++
    }
    return n > 0 ? sum / n : Number.NaN
  }
const roleSum =
  (role: number): BandValue =>
  (facts, from, to) => {
    let sum = 0
    for (let k = from; k < to; k++) sum += facts.roleMm3[k * N_ROLES + role]
    return sum
  }

/** What is compared band by band: from which difference on, and how bands are put together. */
interface Compared {
  readonly id: string
  readonly label: string
  readonly unit: string
  readonly value: BandValue
  readonly isSum: boolean
  /** Smallest difference worth a word, as a share of the plan and in the unit. */
  readonly share: number
  readonly least: number
  readonly importance: number
  /** Told only beyond what the doubt about roles leaves open. */
  readonly isRole?: boolean
}

const COMPARED: readonly Compared[] = [
  {
    id: 'volume',
    label: 'plastic',
    unit: 'mm3',
    value: sumOf((f) => f.volumeMm3),
    isSum: true,
    share: 0.05,
    least: 0.02,
    importance: 1,
  },
  {
    id: 'time',
    label: 'time',
    unit: 's',
    value: sumOf((f) => f.realS),
    isSum: true,
    share: 0.1,
    least: 1,
    importance: 0.7,
  },
  {
    id: 'shells',
    label: 'shells round an outline',
    unit: '',
    value: meanOf((f) => f.shells),
    isSum: false,
    share: 0.1,
    least: 0.3,
    importance: 0.8,
  },
  {
    id: 'width',
    label: 'shell width',
    unit: 'mm',
    value: meanOf((f) => f.widthMm),
    isSum: false,
    share: 0.05,
    least: 0.01,
    importance: 0.8,
  },
  {
    id: 'retractions',
    label: 'retractions',
    unit: '',
    value: sumOf((f) => f.retractions),
    isSum: true,
    share: 0.3,
    least: 3,
    importance: 0.4,
  },
  ...BEAD_ROLES.flatMap((role, r): Compared[] =>
    role === 'priming loop' || role === 'unknown'
      ? []
      : [
          {
            id: `role ${role}`,
            label: `plastic of ${role}`,
            unit: 'mm3',
            value: roleSum(r),
            isSum: true,
            share: 0.1,
            least: 0.05,
            importance: 0.6,
            isRole: true,
          },
        ],
  ),
]

/** Bands that agree between two that do not, within one difference. */
const BRIDGED = 3
/** Differences told of one quantity. */
const MOST_OF_ONE = 3

/** Runs of bands in which one quantity is off the same way. */
const runsOf = (
  compared: Compared,
  bands: Bands,
  plan: LayerFacts,
  file: LayerFacts,
  roleDoubt: number,
): CodeDifference[] => {
  const { faceMm, planStart, fileStart } = bands
  const n = faceMm.length - 1
  const planned = Array.from({ length: n }, (_, i) => compared.value(plan, planStart[i], planStart[i + 1]))
  const laid = Array.from({ length: n }, (_, i) => compared.value(file, fileStart[i], fileStart[i + 1]))
  const wholeMm = faceMm[n] - faceMm[0]
  const whole = planned.reduce((sum, v) => sum + (Number.isNaN(v) ? 0 : v), 0)
  const sign = planned.map((p, i) => {
    const off = (Number.isNaN(laid[i]) ? 0 : laid[i]) - (Number.isNaN(p) ? 0 : p)
    if (Number.isNaN(p) && Number.isNaN(laid[i])) return 0
    return Math.abs(off) >= compared.least && Math.abs(off) > compared.share * (p || 0) ? Math.sign(off) : 0
  })
  const runs: CodeDifference[] = []
  for (let i = 0; i < n; ) {
    if (sign[i] === 0) {
      i++
      continue
    }
    let last = i
    for (let j = i + 1; j < n && j - last <= BRIDGED && (sign[j] === 0 || sign[j] === sign[i]); j++)
      if (sign[j] !== 0) last = j
    let sumPlan = 0
    let sumFile = 0
    for (let j = i; j <= last; j++) {
      const thick = compared.isSum ? 1 : faceMm[j + 1] - faceMm[j]
      sumPlan += (Number.isNaN(planned[j]) ? 0 : planned[j]) * thick
      sumFile += (Number.isNaN(laid[j]) ? 0 : laid[j]) * thick
    }
    const span = { fromMm: faceMm[i], toMm: faceMm[last + 1] }
    const per = compared.isSum ? 1 : span.toMm - span.fromMm
    const p = sumPlan / per
    const f = sumFile / per
    // A sum weighs by its share of the whole, a mean by the share of the height.
    const touched = compared.isSum
      ? Math.abs(f - p) / Math.max(whole, Math.abs(f - p), 1e-9)
      : (per / wholeMm) * Math.min(1, shareOf(p, f))
    const doubtful = compared.isRole
      ? roleDoubt * sumOf((facts) => facts.volumeMm3)(plan, planStart[i], planStart[last + 1])
      : 0
    const first = i
    i = last + 1
    if (Math.abs(f - p) <= doubtful) continue
    const where =
      first === 0 && last === n - 1 ? 'at all heights' : `${span.fromMm.toFixed(1)} to ${span.toMm.toFixed(1)} mm`
    runs.push({
      id: `${compared.id}@${span.fromMm.toFixed(2)}`,
      label: `${compared.label}, ${where}`,
      plan: p,
      file: f,
      unit: compared.unit,
      share: Math.min(shareOf(p, f), 99),
      ...span,
      weight: compared.importance * touched,
      words: `${compared.label}, ${where}: ${shown(f, compared.unit)} in the file, ${shown(p, compared.unit)} in the plan`,
    })
  }
  return runs.sort((a, b) => b.weight - a.weight).slice(0, MOST_OF_ONE)
}

const ofRole = (roles: readonly RoleSum[], role: string): RoleSum =>
  roles.find((sum) => sum.role === role) ?? { role, n: 0, lengthMm: 0, volumeMm3: 0, widthMm: 0 }

/** Differences over the whole print. */
const overall = (
  print: PrintResults,
  code: Omit<CodeExamination, 'differences'>,
  planFacts: LayerFacts,
): CodeDifference[] => {
  const { plan, recipe } = print
  const file = code.plan
  const span = { fromMm: 0, toMm: Math.max(greatest(plan.layerTopZ), greatest(file.layerTopZ)) }
  const all: CodeDifference[] = []
  const add = (id: string, label: string, a: number, b: number, unit: string, importance: number): void => {
    if (!Number.isNaN(a) && !Number.isNaN(b)) all.push(difference(id, label, a, b, unit, span, importance))
  }
  add('height', 'height', greatest(plan.layerTopZ), greatest(file.layerTopZ), 'mm', 1)
  add('layers', 'layers', plan.nLayers, file.nLayers, '', 1)
  add('layer-height', 'layer height', median(plan.layerHeight), median(file.layerHeight), 'mm', 1)
  add('first-layer', 'first layer height', plan.layerHeight[0], file.layerHeight[0], 'mm', 0.3)
  add('volume', 'plastic', print.report.volumeMm3, code.volumeMm3, 'mm3', 1)
  add('time', 'print time', print.timeline.totals.printS / 60, code.timeline.totals.printS / 60, 'min', 0.7)
  const count = planFacts.retractions.reduce((a, b) => a + b, 0)
  add('retractions', 'retractions', count, code.nRetractions, '', 0.4)
  add('retraction', 'retraction', greatest(planFacts.retractionMm), greatest(code.layers.retractionMm), 'mm', 0.5)
  add('gear', 'most gear passes', print.gear.most, code.gear.most, '', 0.3)
  add('rate', 'highest melt rate', greatest(print.limit.layerMost), greatest(code.limit.layerMost), 'mm3/s', 0.3)
  add('outer-speed', 'set speed of outer shells', recipe.outerShellSpeedMmPerS, code.outerSpeedMmPerS, 'mm/s', 0.3)
  add('nozzle', 'nozzle', recipe.nozzleC, code.nozzleC, 'deg C', 1)
  add('bed', 'bed', recipe.bedC, code.bedC, 'deg C', 0.3)
  add('fan', 'fan', 100 * recipe.fanShare, 100 * code.fanShare, '%', 0.5)
  const planRoles = sumRoles(plan)
  const roleDoubt = 1 - code.certainty.roles.share
  const roles = new Set([...planRoles, ...code.roles].map(({ role }) => role))
  for (const role of roles) {
    const a = ofRole(planRoles, role)
    const b = ofRole(code.roles, role)
    const part = Math.max(a.volumeMm3, b.volumeMm3) / Math.max(print.report.volumeMm3, code.volumeMm3, 1e-9)
    if (Math.abs(a.volumeMm3 - b.volumeMm3) > roleDoubt * print.report.volumeMm3)
      add(`volume of ${role}`, `plastic of ${role}`, a.volumeMm3, b.volumeMm3, 'mm3', 0.6 * part)
    if (a.lengthMm > 0 && b.lengthMm > 0)
      add(`width of ${role}`, `width of ${role}`, a.widthMm, b.widthMm, 'mm', 0.8 * part)
  }
  return all.filter(({ plan: p, file: f, share }) => share > TOLD && Math.abs(p - f) > 1e-6)
}

/** What a file does otherwise than the plan. */
export const compareCode = (print: PrintResults, code: Omit<CodeExamination, 'differences'>): CodeDifference[] => {
  const planFacts = layerFacts(print.plan, print.timeline)
  const worst = worstLayers(planFacts, code.layers, 5)
  const all = overall(print, code, planFacts).map((d) => (d.id === 'volume' ? { ...d, worstLayers: worst } : d))
  if (!code.placement)
    all.push({
      ...difference('figure', 'figure', 1, 0, '', { fromMm: 0, toMm: greatest(print.plan.layerTopZ) }, 1),
      words: `the figure: ${code.certainty.roles.cause}`,
    })
  const bands = bandsOf(planFacts, code.layers)
  if (bands)
    for (const compared of COMPARED)
      all.push(...runsOf(compared, bands, planFacts, code.layers, 1 - code.certainty.roles.share))
  return all.sort((a, b) => b.weight - a.weight || (a.id < b.id ? -1 : 1))
}
