// Two sheets side by side: what was set otherwise, what it is worth, which findings go and which come, and a second line on every track.

import { type ExamineSettings, recipeInForce, type Summary, type Track } from '../../engine/examine/index.ts'
import type { Finding } from '../../engine/findings/index.ts'
import { layerAtHeight } from '../../engine/kernel/index.ts'
import { shown } from '../../picture/index.ts'
import { compareRecipes } from '../../recipe/index.ts'
import type { SheetParts } from '../messages.ts'

const degrees = (radians: number): number => Math.round((radians * 180) / Math.PI)

const stanceWords = ({ stance }: ExamineSettings): string => {
  const turns = [
    ['to the front or back', stance.aboutX],
    ['to the side', stance.aboutY],
    ['about its own axis', stance.aboutZ],
  ] as const
  const words = turns.filter(([, angle]) => degrees(angle) !== 0).map(([way, angle]) => `${degrees(angle)}° ${way}`)
  return words.length ? `turned ${words.join(', ')}` : 'upright, as sculpted'
}

const sizeWords = ({ scale }: ExamineSettings): string => {
  switch (scale.by) {
    case 'scale-height':
      return `${Number(scale.soleToEyeMm.toFixed(2))} mm to the eye line`
    case 'total-height':
      return `${Number(scale.totalMm.toFixed(2))} mm tall`
    case 'ratio':
      return `1:${Number(scale.oneTo.toFixed(2))}`
    default:
      return 'a guessed size'
  }
}

/** What B sets otherwise than A, a phrase each. */
export const settingsDifferences = (a: ExamineSettings, b: ExamineSettings): readonly string[] => {
  const words: string[] = []
  if (sizeWords(a) !== sizeWords(b)) words.push(`size: ${sizeWords(b)} instead of ${sizeWords(a)}`)
  if (stanceWords(a) !== stanceWords(b)) words.push(`stance: ${stanceWords(b)} instead of ${stanceWords(a)}`)
  if (a.thickenMm !== b.thickenMm)
    words.push(`sculpt: walls ${shown(b.thickenMm, 2)} mm thicker instead of ${shown(a.thickenMm, 2)} mm`)
  words.push(...compareRecipes(recipeInForce(a), recipeInForce(b)).map((difference) => difference.words))
  if (JSON.stringify(a.printer) !== JSON.stringify(b.printer)) words.push(`printer card: ${b.printer.name}, changed`)
  if (JSON.stringify(a.filament) !== JSON.stringify(b.filament))
    words.push(`filament card: ${b.filament.name}, changed`)
  const told = new Set(['scale', 'stance', 'thickenMm', 'recipe', 'printer', 'filament'])
  const inRecipe = new Set(Object.keys(a.recipe))
  for (const key of Object.keys(b) as (keyof ExamineSettings)[]) {
    if (told.has(key) || inRecipe.has(key) || JSON.stringify(a[key]) === JSON.stringify(b[key])) continue
    words.push(`${key}: ${b[key] ?? 'guessed'} instead of ${a[key] ?? 'guessed'}`)
  }
  return words
}

/** One line of the short table. */
export interface WorthRow {
  readonly name: string
  readonly a: string
  readonly b: string
  /** What B has more or less, in words; empty where it is the same. */
  readonly change: string
}

const row = (name: string, a: number | null, b: number | null, decimals: number, unit: string): WorthRow | null => {
  if (a === null || b === null || !Number.isFinite(a) || !Number.isFinite(b)) return null
  const say = (value: number) => (unit ? `${shown(value, decimals)} ${unit}` : shown(value, decimals))
  const difference = b - a
  const isSame = shown(Math.abs(difference), decimals) === shown(0, decimals)
  return {
    name,
    a: say(a),
    b: say(b),
    change: isSame ? '' : `${say(Math.abs(difference))} ${difference > 0 ? 'more' : 'less'}`,
  }
}

/** Height over which a track stands on the bad side of its limit, mm. */
export const heightBeyond = (track: Track, faceZ: ArrayLike<number>): number => {
  if (!track.limit) return 0
  const { value, bad } = track.limit
  let sum = 0
  for (let i = 0; i < track.values.length; i++) {
    const v = track.values[i]
    if (bad === 'above' ? v > value + 1e-9 : v < value - 1e-9) sum += faceZ[i + 1] - faceZ[i]
  }
  return sum
}

type Steps = Summary['steps'] | undefined

/** Steps of the layers, where both sheets tell them of the same part of the figure. */
const stepRows = (a: Steps, b: Steps): readonly (WorthRow | null)[] =>
  a && b && a.on === b.on
    ? [
        row(`steps on ${a.on}, mean`, a.meanUm, b.meanUm, 0, 'µm'),
        row(`share of ${a.on} that shows steps`, 100 * a.shownShare, 100 * b.shownShare, 0, '%'),
      ]
    : []

const count = (findings: readonly Finding[] | undefined, severity: Finding['severity']): number | null =>
  findings ? findings.filter((one) => one.severity === severity).length : null

/**
 * What the whole sheet comes to: findings, time, plastic, size.
 * @param isWhole false while B is being worked out: its findings are then not counted, because there are more to come
 */
export const sumRows = (a: SheetParts, b: SheetParts, isWhole = true): readonly WorthRow[] => {
  const minutes = (parts: SheetParts) => (parts.summary?.printS ? parts.summary.printS / 60 : null)
  const rows = [
    ...(isWhole
      ? [
          row('places that will fail', count(a.findings, 'breaks'), count(b.findings, 'breaks'), 0, ''),
          row('marks that will show', count(a.findings, 'marks'), count(b.findings, 'marks'), 0, ''),
        ]
      : []),
    row('print time', minutes(a), minutes(b), 0, 'min'),
    row('plastic', a.summary?.massG ?? null, b.summary?.massG ?? null, 2, 'g'),
    ...stepRows(a.summary?.steps, b.summary?.steps),
    row('height', a.figure?.max[2] ?? null, b.figure?.max[2] ?? null, 1, 'mm'),
  ]
  return rows.filter((one) => one !== null)
}

/** The short table: the sums, and for each track the height beyond its limit. @param isWhole as for sumRows */
export const worthRows = (a: SheetParts, b: SheetParts, isWhole = true): readonly WorthRow[] => {
  const rows = [...sumRows(a, b, isWhole)]
  for (const track of b.tracks ?? []) {
    const other = a.tracks?.find(({ id }) => id === track.id)
    if (!track.limit || !other?.limit || !a.layers || !b.layers) continue
    const beyond = row(
      `${track.question}: height ${track.limit.bad} ${Number(track.limit.value.toFixed(2))} ${track.unit}`.trim(),
      heightBeyond(other, a.layers.faceZ),
      heightBeyond(track, b.layers.faceZ),
      1,
      'mm',
    )
    if (beyond?.change) rows.push(beyond)
  }
  return rows
}

/** Heights of two findings that are no farther apart than this still meet, mm. */
const MEET_MM = 1.5
/** A number that changed by less than this share counts as the same. */
const SAME_SHARE = 0.1

const meet = (a: Finding, b: Finding): boolean =>
  a.place.fromMm <= b.place.toMm + MEET_MM && b.place.fromMm <= a.place.toMm + MEET_MM

/** Kinds that speak of one limb or spot: two of them farther apart than this in plan, mm, are not the same. */
const AT_A_SPOT = new Set([
  'snaps',
  'thin-limb',
  'thin-place',
  'vanishes',
  'starts-in-air',
  'bends-while-printed',
  'buckles',
])
const SPOT_MM = 4

const apart = (a: Finding, b: Finding): number =>
  Math.hypot(a.place.point[0] - b.place.point[0], a.place.point[1] - b.place.point[1])

/** A finding of both, whose leading number differs. */
export interface Altered {
  readonly before: Finding
  readonly after: Finding
}

/** What became of the findings; notes are left out unless they were graver before or are now. */
export interface FindingChanges {
  readonly gone: readonly Finding[]
  readonly come: readonly Finding[]
  /** Grave ones of both whose leading number differs, most first. */
  readonly altered: readonly Altered[]
}

/** Kinds that speak of the whole print and only mark where it is worst. */
const OF_ALL = new Set(['chewed-filament', 'threads', 'short-layers', 'corners-too-fast', 'speed-not-reached', 'gaps'])

/** True for findings of the whole figure that are the same one, wherever it is worst: their name holds no place, or their kind none. */
const isSameOfAll = (a: Finding, b: Finding): boolean =>
  OF_ALL.has(a.rule) ? a.rule === b.rule : !a.id.includes('@') && a.id === b.id

/** Pairs of findings that speak of the same thing: same rule at heights that meet, or one of the whole figure. */
const pairs = (a: readonly Finding[], b: readonly Finding[]): readonly Altered[] => {
  const taken = new Set<Finding>()
  const found: Altered[] = []
  for (const one of a) {
    // The nearest of those at its height: two limbs side by side have findings of one kind at one height.
    const nearest = b
      .filter((other) => other.rule === one.rule && !taken.has(other) && meet(one, other))
      .filter((other) => !AT_A_SPOT.has(one.rule) || apart(one, other) <= SPOT_MM)
      .reduce<Finding | null>((best, other) => (best && apart(one, best) <= apart(one, other) ? best : other), null)
    const match = nearest ?? b.find((other) => !taken.has(other) && isSameOfAll(one, other))
    if (!match) continue
    taken.add(match)
    found.push({ before: one, after: match })
  }
  return found
}

/** Share by which the leading number of a finding changed; 0 where there is none to compare. */
const changedBy = ({ before, after }: Altered): number => {
  const [one, other] = [before.evidence[0], after.evidence[0]]
  if (!one || !other || one.label !== other.label) return 0
  return Math.abs(other.value - one.value) / Math.max(Math.abs(one.value), Math.abs(other.value), 1e-9)
}

/** Findings of A that B does not have, the other way round, and what both have in other measure. */
export const findingChanges = (a: readonly Finding[], b: readonly Finding[]): FindingChanges => {
  const same = pairs(a, b)
  const isGrave = ({ severity }: Finding): boolean => severity !== 'note'
  const stays = new Set(same.map(({ before }) => before))
  const stands = new Set(same.map(({ after }) => after))
  return {
    gone: a.filter((one) => isGrave(one) && !stays.has(one)),
    come: b.filter((one) => isGrave(one) && !stands.has(one)),
    altered: same
      .filter(({ before, after }) => before.severity === 'breaks' || after.severity === 'breaks')
      .filter((pair) => changedBy(pair) >= SAME_SHARE)
      .sort((x, y) => changedBy(y) - changedBy(x)),
  }
}

/** One kind of finding on both sides, notes left out. */
export interface KindCount {
  readonly kind: string
  readonly a: number
  readonly b: number
}

/** How many of each kind there are, where that differs: for figures that stand otherwise, whose places cannot be matched. Most first. */
const kindCounts = (a: readonly Finding[], b: readonly Finding[]): readonly KindCount[] => {
  const counts = new Map<string, { a: number; b: number }>()
  const add = (findings: readonly Finding[], side: 'a' | 'b'): void => {
    for (const { rule, severity } of findings) {
      if (severity === 'note') continue
      const one = counts.get(rule) ?? { a: 0, b: 0 }
      one[side]++
      counts.set(rule, one)
    }
  }
  add(a, 'a')
  add(b, 'b')
  return [...counts]
    .map(([rule, one]) => ({ kind: rule.replaceAll('-', ' '), ...one }))
    .filter((one) => one.a !== one.b)
    .sort((x, y) => Math.abs(y.b - y.a) - Math.abs(x.b - x.a))
}

/** True where heights of the two do not speak of the same places: other stance, other size. */
const standsOtherwise = (a: ExamineSettings, b: ExamineSettings): boolean =>
  stanceWords(a) !== stanceWords(b) || sizeWords(a) !== sizeWords(b)

/** What became of the findings: place by place, or by kind where the figure stands otherwise. */
export type Became =
  | { readonly by: 'place'; readonly changes: FindingChanges }
  | { readonly by: 'kind'; readonly kinds: readonly KindCount[] }

/** Findings of two sheets with their settings, one against the other. */
export const whatBecame = (
  a: readonly Finding[],
  b: readonly Finding[],
  settingsA: ExamineSettings,
  settingsB: ExamineSettings,
): Became =>
  standsOtherwise(settingsA, settingsB)
    ? { by: 'kind', kinds: kindCounts(a, b) }
    : { by: 'place', changes: findingChanges(a, b) }

/** Values of one layer stack at the heights of another, by height above the bed; NaN above the top. */
export const atHeightsOf = (
  values: ArrayLike<number>,
  faceZ: ArrayLike<number>,
  otherFaceZ: ArrayLike<number>,
): Float64Array => {
  const out = new Float64Array(Math.max(0, otherFaceZ.length - 1)).fill(Number.NaN)
  const top = faceZ[faceZ.length - 1]
  for (let i = 0; i < out.length; i++) {
    const middle = (otherFaceZ[i] + otherFaceZ[i + 1]) / 2
    if (middle <= top) out[i] = values[layerAtHeight(faceZ, middle)]
  }
  return out
}

/** Tracks of B, each with the line of A as its second one. */
export const tracksWithHeld = (tracks: readonly Track[], faceZ: Float64Array, held: SheetParts): readonly Track[] =>
  tracks.map((track) => {
    const other = held.tracks?.find(({ id }) => id === track.id)
    if (!other || !held.layers) return { ...track, other: undefined }
    return {
      ...track,
      from: Math.min(track.from, other.from),
      to: Math.max(track.to, other.to),
      other: { label: 'A', values: atHeightsOf(other.values, held.layers.faceZ, faceZ) },
    }
  })
