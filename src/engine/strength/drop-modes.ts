// Falls by the figure's own vibrations: free-free elastic modes on the grid, contacts that dent, rigid motion, many attitudes in time.
//
// Energy alone misleads: contact on a hard floor lasts a tenth of a millisecond, limbs swing for a few. So the body goes on moving as a
// whole, its modes are started by the contact's push, and the push itself comes from how contact, body and floor give. The stress is the
// modes' plus a static correction at the contact. Limits: no friction on the floor, linear plastic up to break, nothing cracks.

import type { PlanReport } from '../beads/index.ts'
import { breathe, partOf, type StartWasm, type Task } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { breakChance, SCATTER_DEFAULTS, type Scatter } from './chance.ts'
import { evenDirections, RATE_GAIN } from './drop.ts'
import { fineFrequencies, fineInstants } from './drop-fine.ts'
import { type FallingBody, type FallSettings, type FallStart, simulateFall } from './drop-motion.ts'
import { type Correction, contactRadius, corrections, PATCH_MM, patchAt, patchMove } from './drop-patch.ts'
import { outerPoints, restingPoses, type TouchPlace, type Triple, tipOver, touchPlaces } from './drop-places.ts'
import {
  type CellLimits,
  cellLimits,
  type Touching,
  type WatchedCells,
  watchCells,
  watchedStress,
  watchedUse,
  worstCell,
} from './drop-stress.ts'
import { fillGrid } from './fill-grid.ts'
import { contactModulusMPa, fallSpeedMmPerS } from './impact.ts'
import { printedStiffness, type StrengthMaterial } from './material.ts'
import { type FreeBody, type FreeSolver, freeBody, freeSolver } from './modes-body.ts'
import { type FreeModes, freeModes } from './modes-free.ts'
import { standingOf } from './standing.ts'
import type { Ranged, Stuffing } from './types.ts'

/** What is dropped. */
export interface DropSubject {
  readonly stack: LayerStack
  readonly material: StrengthMaterial
  /** How the inside is filled; null: solid. */
  readonly stuffing: Stuffing | null
  /** Report of a bead plan: layers without infill count as solid; null without a plan. */
  readonly plan: PlanReport | null
  /** Bond at a height, share of the full one. */
  readonly weldAt?: (z: number) => number
}

/** Floors. Moduli: stone or tile on screed and beech, handbook values from memory; carpet holds on for some milliseconds, from memory. */
export type DropFloor = 'stone' | 'wood' | 'carpet'

export interface DropModesOptions {
  readonly heightM: number
  readonly floor: DropFloor
  /** Attitudes even over the sphere. */
  readonly nAttitudes: number
  /** Poses of rest and ways to fall over that are looked at besides, at most. */
  readonly nPoses: number
  readonly nTips: number
  /** Elastic modes, and side of the cells they are found on, mm. */
  readonly nModes: number
  readonly cellMm: number
  /** Side of the cells on which the worst attitudes are looked at again, mm; 0: not. */
  readonly fineCellMm: number
  readonly nWorst: number
  /** Lowest frequencies that are found again on the finer cells; 0: none. */
  readonly nChecked: number
  /** False: contacts stay elastic (Hertz), an upper bound. */
  readonly dents: boolean
  /** Damping over critical: half the loss factor of a glassy plastic, from memory. */
  readonly damping: number
  readonly scatter: Scatter
  /** Called with each attitude as soon as it is known. */
  readonly onAttitude?: (attitude: ModalAttitude) => void
  /** Starts WebAssembly, where there is any: four solutions at once. */
  readonly start?: StartWasm
}

export const DROP_MODES_DEFAULTS: DropModesOptions = Object.freeze({
  heightM: 1,
  floor: 'stone',
  nAttitudes: 64,
  nPoses: 6,
  nTips: 2,
  nModes: 44,
  cellMm: 0.4,
  fineCellMm: 0.2,
  nWorst: 3,
  nChecked: 10,
  dents: true,
  damping: 0.015,
  scatter: SCATTER_DEFAULTS,
})

/** One fall. */
export interface ModalAttitude {
  readonly kind: 'even' | 'rest' | 'tip'
  /** Downwards in the figure's frame, unit. */
  readonly down: Triple
  /** Place that touches first, mm, and its radius of curvature, mm. */
  readonly contact: Triple
  readonly radiusMm: number
  readonly greatestForceN: number
  readonly contactMs: number
  /** Deepest dent that stays, mm. */
  readonly dentMm: number
  /** Greatest share of strength used in a slow test's measure, where (mm) and when (ms after touching). */
  readonly use: number
  readonly at: Triple
  readonly timeMs: number
  /** What gives there and its stress, MPa: beads pulled apart in their layer, or layers pulled apart. */
  readonly gives: 'in the layer' | 'between layers'
  readonly stressMPa: number
  /** Share of the stretch at break: over 1 even a tough print is torn. */
  readonly strainUse: number
  /** Chance of breaking, plastic being stronger under a blow. */
  readonly breakChance: Ranged
  /**
   * The same instant on the finer cells, for the worst attitudes: stress over a coarser cell's width, to be compared with `use`, and the
   * greatest of the finer cells (at a sharp corner that one has no limit).
   */
  readonly fine: {
    readonly use: number
    readonly at: Triple
    readonly peakUse: number
    readonly peakAt: Triple
  } | null
}

/** Falls by modes. */
export interface DropByModes {
  readonly kind: 'drop-by-modes'
  readonly heightM: number
  readonly floor: DropFloor
  readonly speedMPerS: number
  readonly massG: number
  readonly energyMJ: number
  /** Frequencies of the free body, Hz, lowest first, and how far each has settled (see FreeModes). */
  readonly hz: Float64Array
  readonly residual: Float64Array
  /** The lowest frequencies on the finer cells, Hz; null when not asked for. */
  readonly fineHz: Float64Array | null
  readonly attitudes: readonly ModalAttitude[]
  /** Share of even attitudes that it survives. */
  readonly survived: Ranged
  /** Where it breaks first: share of even attitudes, most first. Places nearer than 3 mm are one. */
  readonly first: readonly { readonly at: Triple; readonly share: number }[]
  readonly nUnknowns: number
  readonly basis: readonly string[]
}

const FLOORS: Readonly<Record<DropFloor, { readonly modulusMPa: number; readonly poisson: number }>> = {
  stone: { modulusMPa: 50_000, poisson: 0.2 },
  wood: { modulusMPa: 11_000, poisson: 0.35 },
  carpet: { modulusMPa: 11_000, poisson: 0.35 },
}
/** Half a swing of the whole figure on carpet, s: from memory. */
const CARPET_S = 4e-3
/** Pressure at which plastic dents over its yield stress: Tabor, The hardness of metals (1951); holds for glassy plastics too, from memory. */
const DENT_OF_YIELD = 3
/** Places of first break nearer than this are one, mm. */
const SAME_PLACE_MM = 3

/** All that stays the same from fall to fall. */
interface Scene {
  readonly o: DropModesOptions
  readonly subject: DropSubject
  readonly body: FreeBody
  readonly modes: FreeModes
  readonly limits: CellLimits
  readonly watched: WatchedCells
  readonly places: readonly TouchPlace[]
  readonly shapes: readonly Float64Array[]
  readonly radius: Float64Array
  /** Give of each place where it is known, NaN elsewhere. */
  readonly give: Float64Array
  readonly settings: FallSettings
}

interface Wish {
  readonly kind: ModalAttitude['kind']
  readonly start: FallStart
}

interface Fallen {
  readonly attitude: ModalAttitude
  readonly forces: Float64Array
  readonly down: Triple
  readonly acceleration: Float64Array
}

const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

/** Place that touches first. */
const firstPlace = ({ places }: Scene, down: Triple): number =>
  places.reduce((best, p, i) => (dot(p.at, down) > dot(places[best].at, down) ? i : best), 0)

/** Plastic of the figure on a grid as a free body. */
const bodyOf = async (subject: DropSubject, cellMm: number, task?: Task): Promise<FreeBody> => {
  const { stack, stuffing, plan, material } = subject
  const infill = stuffing?.infillShare ?? 1
  const kinds = [printedStiffness(material)]
  if (infill < 1) kinds.push(printedStiffness(material, Math.max(infill, 0.02)))
  const grid = await fillGrid(stack, cellMm, stuffing, plan, partOf(task, 0, 0.4))
  return freeBody(grid, kinds, material.densityGPerCm3, infill, partOf(task, 0.4, 1))
}

const limitsOf = (subject: DropSubject, body: FreeBody): CellLimits =>
  cellLimits(body.mesh, subject.material, subject.stuffing?.infillShare ?? 1, subject.weldAt ?? (() => 1))

/** One fall from start to report. */
const fallOnce = (scene: Scene, wish: Wish, correction: Correction): Fallen => {
  const { o, body, modes, limits, watched, places, shapes, settings, subject } = scene
  const { mesh } = body
  const { down } = wish.start
  const primary = firstPlace(scene, down)
  const known = Array.from(scene.give)
    .filter((v) => !Number.isNaN(v))
    .sort((a, b) => a - b)
  const usual = known[known.length >> 1] ?? correction.giveMmPerN
  const radiusMm = contactRadius(mesh, places[primary].at, down)
  const falling: FallingBody = {
    massT: body.massT,
    inertia: body.inertia,
    omega: modes.omega,
    places: places.map(({ at }, i) => ({
      at: [at[0] - body.centre[0], at[1] - body.centre[1], at[2] - body.centre[2]],
      shape: shapes[i],
      radiusMm: i === primary ? radiusMm : scene.radius[i],
      giveMmPerN: i === primary ? correction.giveMmPerN : Number.isNaN(scene.give[i]) ? usual : scene.give[i],
    })),
  }
  const stress = watchedStress(mesh, watched, correction.move)
  const reachMm = PATCH_MM + 0.5 * mesh.cellMm
  const touchingOf = (force: ArrayLike<number>): Touching[] => {
    const list: Touching[] = []
    for (let i = 0; i < places.length; i++) if (force[i] > 0) list.push({ at: places[i].at, reachMm })
    return list
  }
  let most = -1
  let timeS = 0
  const amplitude = new Float64Array(modes.nModes)
  const forces = new Float64Array(places.length)
  let then: Triple = down
  const outcome = simulateFall(falling, wish.start, settings, (t, q, force, d) => {
    const use = watchedUse(mesh, watched, q, [{ stress, amount: force[primary] }], touchingOf(force), limits)
    if (use <= most) return
    most = use
    timeS = t
    amplitude.set(q)
    forces.set(force)
    then = [d[0], d[1], d[2]]
  })
  const move = new Float64Array(3 * mesh.nNodes)
  for (let k = 0; k < modes.nModes; k++) {
    const shape = modes.shapes[k]
    for (let i = 0; i < move.length; i++) move[i] += amplitude[k] * shape[i]
  }
  for (let i = 0; i < move.length; i++) move[i] += forces[primary] * correction.move[i]
  const worst = worstCell(mesh, move, limits, touchingOf(forces))
  const acceleration = modes.omega.map((w, k) => {
    let a = -w * w * amplitude[k]
    for (let i = 0; i < places.length; i++) {
      if (forces[i] === 0) continue
      const s = shapes[i]
      a -= forces[i] * (s[3 * k] * then[0] + s[3 * k + 1] * then[1] + s[3 * k + 2] * then[2])
    }
    return a
  })
  const { material: m } = subject
  const across = worst.across >= worst.inLayer
  return {
    attitude: {
      kind: wish.kind,
      down,
      contact: places[primary].at,
      radiusMm,
      greatestForceN: outcome.greatestForceN,
      contactMs: 1000 * outcome.firstContactS,
      dentMm: outcome.dentMm,
      use: worst.use,
      at: worst.at,
      timeMs: 1000 * timeS,
      gives: across ? 'between layers' : 'in the layer',
      stressMPa: across ? worst.acrossMPa : worst.inLayerMPa,
      strainUse: Math.max(
        (worst.inLayer * m.alongStrengthMPa) / m.alongModulusMPa / m.alongBreakStrain,
        (worst.across * m.acrossStrengthMPa) / m.acrossModulusMPa / m.acrossBreakStrain,
      ),
      breakChance: breakChance(worst.use / RATE_GAIN, o.scatter),
      fine: null,
    },
    forces,
    down: then,
    acceleration,
  }
}

/** Attitudes: even ones, poses of rest, falling over from standing about its nearest edges. */
const wishesOf = (o: DropModesOptions, subject: DropSubject, body: FreeBody, points: Float64Array): Wish[] => {
  const speedMmPerS = fallSpeedMmPerS(1000 * o.heightM)
  const still = [0, 0, 0] as const
  const wishes: Wish[] = evenDirections(o.nAttitudes).map((down) => ({
    kind: 'even',
    start: { down, speedMmPerS, spin: still },
  }))
  for (const { down } of restingPoses(points, body.centre, o.nPoses))
    wishes.push({ kind: 'rest', start: { down, speedMmPerS, spin: still } })
  const { towards } = standingOf(subject.stack, body.centre, 1e6 * body.massT, 1)
  for (let k = 0; k < o.nTips; k++) {
    const a = (2 * Math.PI * k) / o.nTips
    const [c, s] = [Math.cos(a), Math.sin(a)]
    const way = [towards[0] * c - towards[1] * s, towards[0] * s + towards[1] * c] as const
    const start = tipOver(points, body.centre, body.massT, body.inertia, way)
    if (start) wishes.push({ kind: 'tip', start })
  }
  return wishes
}

/** Everything up to the first fall. */
const sceneOf = async (
  o: DropModesOptions,
  subject: DropSubject,
  body: FreeBody,
  modes: FreeModes,
  points: Float64Array,
  wishes: readonly Wish[],
): Promise<Scene> => {
  const limits = limitsOf(subject, body)
  const places = touchPlaces(
    points,
    wishes.map((w) => w.start.down),
    2.5,
    140,
  )
  const shapes = places.map(({ at }) => {
    const patch = patchAt(body, at)
    return Float64Array.from(modes.shapes.flatMap((u) => patchMove(patch, u)))
  })
  const { material } = subject
  const floor = FLOORS[o.floor]
  const modulus = (material.alongModulusMPa + material.acrossModulusMPa) / 2
  return {
    o,
    subject,
    body,
    modes,
    limits,
    watched: watchCells(body.mesh, modes.shapes, modes.omega, limits),
    places,
    shapes,
    radius: Float64Array.from(places, ({ at, down }) => contactRadius(body.mesh, at, down)),
    give: new Float64Array(places.length).fill(Number.NaN),
    settings: {
      contactMPa: contactModulusMPa(modulus, material.poissonRatio, floor.modulusMPa, floor.poisson),
      dentMPa: o.dents ? DENT_OF_YIELD * RATE_GAIN * material.alongStrengthMPa : Infinity,
      floorGiveMmPerN: o.floor === 'carpet' ? (CARPET_S / Math.PI) ** 2 / body.massT : 0,
      damping: o.damping,
      // The slowest limb swings out once and a bit; what hits second within that time hits too.
      durationS: Math.min(8e-3, Math.max(1e-3, 7.5 / modes.omega[0])) + (o.floor === 'carpet' ? CARPET_S : 0),
      stepS: Math.min(5e-7, 0.2 / modes.omega[modes.nModes - 1]),
      every: 20,
    },
  }
}

/** Looks again at the worst attitudes on finer cells, and at the lowest frequencies. */
const lookCloser = async (
  scene: Scene,
  fallen: Fallen[],
  task?: Task,
): Promise<{ readonly attitudes: ModalAttitude[]; readonly fineHz: Float64Array | null }> => {
  const { o, subject, modes, body, places } = scene
  const attitudes = fallen.map((f) => f.attitude)
  if (o.fineCellMm <= 0) return { attitudes, fineHz: null }
  const fine = await bodyOf(subject, o.fineCellMm, partOf(task, 0, 0.3))
  const solve = await freeSolver(fine, o.start)
  const order = fallen.map((_, i) => i).sort((a, b) => attitudes[b].use - attitudes[a].use)
  const chosen = order.slice(0, o.nWorst)
  const found = await fineInstants(
    fine,
    body,
    modes,
    chosen.map((i) => {
      const { forces, down, acceleration } = fallen[i]
      return {
        down,
        acceleration,
        contacts: places.flatMap(({ at }, p) => (forces[p] > 0 ? [{ at, forceN: forces[p] }] : [])),
      }
    }),
    limitsOf(subject, fine),
    PATCH_MM + 0.5 * body.mesh.cellMm,
    solve,
    partOf(task, 0.3, 0.6),
  )
  chosen.forEach((i, k) => {
    const { peak, even } = found[k]
    attitudes[i] = {
      ...attitudes[i],
      fine: { use: even.use, at: even.at, peakUse: peak.use, peakAt: peak.at },
      breakChance: breakChance(Math.max(even.use, attitudes[i].use) / RATE_GAIN, o.scatter),
    }
    o.onAttitude?.(attitudes[i])
  })
  const fineHz =
    o.nChecked > 0 ? await fineFrequencies(fine, body, modes, o.nChecked, solve, partOf(task, 0.6, 1)) : null
  return { attitudes, fineHz }
}

/** Groups places of first break. */
const groupFirst = (attitudes: readonly ModalAttitude[]): DropByModes['first'] => {
  const groups: { at: Triple; share: number }[] = []
  const even = attitudes.filter((a) => a.kind === 'even')
  for (const a of [...even].sort((x, y) => y.use - x.use)) {
    const near = groups.find((g) => Math.hypot(...[0, 1, 2].map((c) => g.at[c] - a.at[c])) < SAME_PLACE_MM)
    const share = a.breakChance.value / even.length
    if (near) near.share += share
    else groups.push({ at: a.at, share })
  }
  return groups.filter((g) => g.share > 1e-3).sort((a, b) => b.share - a.share)
}

/**
 * Drops a figure in many attitudes by its own vibrations.
 * Takes tens of seconds; reports progress, hands over each attitude as it is known, and stops when the task says so.
 */
export const dropByModes = async (
  subject: DropSubject,
  options: Partial<DropModesOptions> = {},
  task?: Task,
): Promise<DropByModes> => {
  const o: DropModesOptions = { ...DROP_MODES_DEFAULTS, ...options }
  const body = await bodyOf(subject, o.cellMm, partOf(task, 0, 0.05))
  const solve: FreeSolver = await freeSolver(body, o.start)
  const modes = await freeModes(body, { nModes: o.nModes }, partOf(task, 0.05, 0.4), solve)
  const points = outerPoints(subject.stack)
  const wishes = wishesOf(o, subject, body, points)
  const scene = await sceneOf(o, subject, body, modes, points, wishes)
  const { material } = subject
  const fallen: Fallen[] = []
  // Corrections are solved four at a time.
  for (let k = 0; k < wishes.length; k += 4) {
    const part = wishes.slice(k, k + 4)
    const first = part.map((w) => firstPlace(scene, w.start.down))
    const found = await corrections(
      body,
      modes,
      part.map((w, i) => ({ patch: patchAt(body, scene.places[first[i]].at), down: w.start.down })),
      (material.alongModulusMPa + material.acrossModulusMPa) / 2,
      material.poissonRatio,
      solve,
      5e-3,
    )
    found.forEach((c, i) => {
      scene.give[first[i]] = c.giveMmPerN
    })
    for (let i = 0; i < part.length; i++) {
      task?.onProgress?.(0.4 + (0.3 * (k + i)) / wishes.length, 'dropping it')
      fallen.push(fallOnce(scene, part[i], found[i]))
      o.onAttitude?.(fallen[fallen.length - 1].attitude)
      await breathe(task)
    }
  }
  const { attitudes, fineHz } = await lookCloser(scene, fallen, partOf(task, 0.7, 1))
  const even = attitudes.filter((a) => a.kind === 'even')
  const mean = (pick: (a: ModalAttitude) => number): number => even.reduce((s, a) => s + pick(a), 0) / even.length
  task?.onProgress?.(1, 'falls known')
  return {
    kind: 'drop-by-modes',
    heightM: o.heightM,
    floor: o.floor,
    speedMPerS: fallSpeedMmPerS(1000 * o.heightM) / 1000,
    massG: 1e6 * body.massT,
    energyMJ: body.massT * 9806.65 * o.heightM * 1000,
    hz: modes.omega.map((w) => w / (2 * Math.PI)),
    residual: modes.residual,
    fineHz,
    attitudes,
    survived: {
      value: 1 - mean((a) => a.breakChance.value),
      low: 1 - mean((a) => a.breakChance.high),
      high: 1 - mean((a) => a.breakChance.low),
    },
    first: groupFirst(attitudes),
    nUnknowns: 3 * body.mesh.nNodes,
    basis: basisOf(o, attitudes),
  }
}

/** Use on the finer cells over that on the coarser ones, middle of the attitudes that were looked at again; NaN for none. */
const fineRatio = (attitudes: readonly ModalAttitude[]): number => {
  const ratios = attitudes.flatMap(({ fine, use }) => (fine && use > 0 ? [fine.use / use] : [])).sort((a, b) => a - b)
  return ratios[ratios.length >> 1] ?? Number.NaN
}

const basisOf = (o: DropModesOptions, attitudes: readonly ModalAttitude[]): string[] => {
  const ratio = fineRatio(attitudes)
  return [
    `${o.nModes} free vibrations on cells of ${o.cellMm} mm, with a static correction at the place that touches first.`,
    ...(Number.isNaN(ratio)
      ? []
      : [
          `On cells of ${o.fineCellMm} mm the gravest falls use ${ratio.toFixed(2)} times as much: thin limbs come out too thick on coarser ones.`,
        ]),
    o.dents
      ? 'Contacts dent at three times the strength of the plastic; the floor pushes straight up, without friction.'
      : 'Contacts stay elastic (Hertz): an upper bound of the force.',
    `Plastic counts as ${RATE_GAIN} times as strong under a blow as in a slow test.`,
    'What lies within a millimetre of a contact is not judged: there the floor presses.',
  ]
}
