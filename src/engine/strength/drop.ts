// Falls in many attitudes, by the frame of limbs.
//
// Base first: the base stops (or turns about its corner) at once, the limbs go on: a change of velocity, not a force. A plain rod on a
// base stopped dead gets 3.132 rho c v from its first mode and 4 rho c v from all of them by root sum of squares, whatever its length
// (modal sum, clamped-free). A limb first: its end is held by a contact spring (Hertz, secant) while everything else goes on at the
// speed of the fall. Peaks: root sum of squares over modes; soft floors shorten each mode's answer by that to a half-sine pulse.
// Limits: no second impact, no sliding, no rebound: an upper bound for what is hit; beams at forks.

import type { Figure } from '../figure/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import { breakChance, type Scatter } from './chance.ts'
import { addStationLoad, type FrameModel, frameModel, frameStiffness, type Laying, pieceForces } from './frame-model.ts'
import { contactModulusMPa, fallSpeedMmPerS, hertzImpact, pulseShare } from './impact.ts'
import type { LimbGraph } from './limb-graph.ts'
import { type EndUse, endUse, sectionTable } from './section-use.ts'
import type { DropAttitude, DropReport, LimbFrame } from './types.ts'
import { type Modes, startedModes } from './vibration.ts'

/** How it falls. */
export interface DropWishes {
  readonly heightM: number
  readonly floor: 'hard' | 'soft'
  readonly nAttitudes: number
  readonly scatter: Scatter
}

/** Contact times: a soft floor (carpet, lawn) holds on for some milliseconds: from memory. */
const SOFT_CONTACT_S = 4e-3

/**
 * Strength under a blow over that in a slow test: glassy plastics gain about a tenth per decade of stretching speed, four decades lie
 * between a tensile test and a fall. From memory (Eyring's law; values differ by grade).
 */
export const RATE_GAIN = 1.4

/** What a corner adds to the stress half a bead inside it. */
const cornerOf = (frame: LimbFrame, station: number): number => 1 + 0.5 * (frame.notch[station] - 1)

/** Body that falls: total mass, middle, inertia (about the middle, xx yy zz xy yz zx), g and mm. */
interface Body {
  massG: number
  centre: [number, number, number]
  inertia: number[]
}

/** Mass properties from stations and held part. */
export const bodyOfFrame = (frame: LimbFrame, graph: LimbGraph, heldG: number): Body => {
  const centre: [number, number, number] = [0, 0, 0]
  let massG = heldG
  for (let c = 0; c < 3; c++) centre[c] = heldG * graph.heldMiddle[c]
  for (let i = 0; i < frame.nStations; i++) {
    massG += frame.massG[i]
    for (let c = 0; c < 3; c++) centre[c] += frame.massG[i] * frame.at[3 * i + c]
  }
  for (let c = 0; c < 3; c++) centre[c] /= massG
  const inertia = [0, 0, 0, 0, 0, 0]
  const add = (m: number, x: number, y: number, z: number): void => {
    inertia[0] += m * (y * y + z * z)
    inertia[1] += m * (z * z + x * x)
    inertia[2] += m * (x * x + y * y)
    inertia[3] -= m * x * y
    inertia[4] -= m * y * z
    inertia[5] -= m * z * x
  }
  for (let i = 0; i < frame.nStations; i++) {
    const own = (frame.massG[i] * frame.thickMm[i] ** 2) / 8
    for (let c = 0; c < 3; c++) inertia[c] += 0.5 * own
    add(frame.massG[i], frame.at[3 * i] - centre[0], frame.at[3 * i + 1] - centre[1], frame.at[3 * i + 2] - centre[2])
  }
  const h = graph.heldMiddle
  for (let c = 0; c < 3; c++) inertia[c] += heldG * graph.heldGyration[c]
  add(heldG, h[0] - centre[0], h[1] - centre[1], h[2] - centre[2])
  return { massG, centre, inertia }
}

/** Solves the 3x3 inertia for a turn. */
const turnOf = (i: readonly number[], l: readonly number[]): [number, number, number] => {
  const [a, b, c, d, e, f] = i
  const det = a * (b * c - e * e) - d * (d * c - e * f) + f * (d * e - b * f)
  return [
    ((b * c - e * e) * l[0] + (e * f - d * c) * l[1] + (d * e - b * f) * l[2]) / det,
    ((e * f - d * c) * l[0] + (a * c - f * f) * l[1] + (d * f - a * e) * l[2]) / det,
    ((d * e - b * f) * l[0] + (d * f - a * e) * l[1] + (a * b - d * d) * l[2]) / det,
  ]
}

/** Diagonal mass of the frame's bodies, tonnes and tonnes mm2. */
const frameMass = (model: FrameModel, graph: LimbGraph, heldG: number): Float64Array => {
  const { frame, bodyOf, position } = model
  const mass = new Float64Array(6 * model.nBodies)
  for (let i = 0; i < frame.nStations; i++) {
    if (bodyOf[i] < 0 || frame.held[i]) continue
    const o = 6 * position[bodyOf[i]]
    const m = frame.massG[i] * 1e-6
    for (let c = 0; c < 3; c++) {
      mass[o + c] += m
      mass[o + 3 + c] += m * (frame.thickMm[i] ** 2 / 16 + graph.frontMm ** 2 / 12)
    }
  }
  if (model.nBodies > 0 && bodyOf.some((b, i) => b === 0 && frame.held[i])) {
    const o = 6 * position[0]
    let m = heldG * 1e-6
    for (let i = 0; i < frame.nStations; i++) if (frame.held[i]) m += frame.massG[i] * 1e-6
    for (let c = 0; c < 3; c++) {
      mass[o + c] += m
      mass[o + 3 + c] += m * Math.max(graph.heldGyration[c], 1e-3)
    }
  }
  // A body without plastic (pruned to nothing) still needs some inertia.
  const least = 1e-12 * heldG + 1e-15
  for (let i = 0; i < mass.length; i++) mass[i] = Math.max(mass[i], least)
  return mass
}

/** A rigid velocity field on the frame's unknowns: shift at `about` and turn. */
const rigidField = (
  model: FrameModel,
  shift: readonly number[],
  turn: readonly number[],
  about: readonly number[],
): Float64Array => {
  const { frame, bodyOf, position, pivot } = model
  const field = new Float64Array(6 * model.nBodies)
  for (let i = 0; i < frame.nStations; i++) {
    const body = bodyOf[i]
    if (body < 0) continue
    const p = frame.held[i] ? pivot : [frame.at[3 * i], frame.at[3 * i + 1], frame.at[3 * i + 2]]
    const r = [p[0] - about[0], p[1] - about[1], p[2] - about[2]]
    field.set(
      [
        shift[0] + turn[1] * r[2] - turn[2] * r[1],
        shift[1] + turn[2] * r[0] - turn[0] * r[2],
        shift[2] + turn[0] * r[1] - turn[1] * r[0],
        ...turn,
      ],
      6 * position[body],
    )
  }
  return field
}

/** Use and stress of every end of a piece in every mode of unit amplitude. */
const modalUse = (
  model: FrameModel,
  table: ReturnType<typeof sectionTable>,
  modes: Modes,
): { use: Float64Array; stress: Float64Array } => {
  const n = 6 * model.nBodies
  const ends = table.station.length
  const use = new Float64Array(modes.nModes * ends)
  const stress = new Float64Array(modes.nModes * ends)
  const forces = new Float64Array(6 * ends)
  const here: EndUse = { use: 0, stress: 0, shear: 0, strainUse: 0 }
  for (let k = 0; k < modes.nModes; k++) {
    pieceForces(model, modes.shapes.subarray(k * n, k * n + n), forces)
    for (let e = 0; e < ends; e++) {
      endUse(table, e, forces, 6 * e, here)
      use[k * ends + e] = here.use
      stress[k * ends + e] = here.stress
    }
  }
  return { use, stress }
}

/** Even directions over the sphere (Fibonacci lattice), the first one straight down. */
export const evenDirections = (n: number): [number, number, number][] =>
  Array.from({ length: n }, (_, i) => {
    const z = -1 + (2 * i) / Math.max(1, n - 1)
    const r = Math.sqrt(Math.max(0, 1 - z * z))
    const a = i * Math.PI * (3 - Math.sqrt(5))
    return [r * Math.cos(a), r * Math.sin(a), z]
  })

/** Drops the figure in even attitudes. */
export const dropFigure = async (
  figure: Figure,
  frame: LimbFrame,
  graph: LimbGraph,
  heldG: number,
  laying: Laying,
  wishes: DropWishes,
  task?: Task,
): Promise<DropReport> => {
  const { material } = laying
  const body = bodyOfFrame(frame, graph, heldG)
  const speed = fallSpeedMmPerS(wishes.heightM * 1000)
  const contactMPa = contactModulusMPa(material.acrossModulusMPa, material.poissonRatio)
  const clamped = frameModel(frame, laying, false)
  const clampedTable = sectionTable(clamped)
  const directions = evenDirections(wishes.nAttitudes)
  const { positions } = figure.mesh
  const baseTop = figure.base ? figure.base.topMm + 0.05 : Number.NEGATIVE_INFINITY
  const ends = clampedTable.station.length

  // Base first: one set of modes for all six ways a base can be stopped.
  let baseModes: { modes: Modes; use: Float64Array; stress: Float64Array } | null = null
  if (clamped.nBodies > 0) {
    const mass = frameMass(clamped, graph, 0)
    const stiffness = frameStiffness(clamped)
    stiffness.factor()
    const zero = [0, 0, 0]
    const unit = [0, 1, 2].map((c) => zero.map((_, k) => (k === c ? 1 : 0)))
    const starts = [
      ...unit.map((d) => rigidField(clamped, d, zero, body.centre)),
      ...unit.map((d) => rigidField(clamped, zero, d, body.centre)),
    ]
    const modes = startedModes((x) => stiffness.solve(x), mass, starts, 9)
    baseModes = { modes, ...modalUse(clamped, clampedTable, modes) }
  }
  // A limb first: the same frame free, with the held part's mass. Shifted so that free turns have an answer.
  const free = frameModel(frame, laying, true, graph.heldMiddle)
  const freeTable = sectionTable(free)
  const freeMass = frameMass(free, graph, heldG)
  const shift = (2 * Math.PI * 60) ** 2
  const freeStiffness = frameStiffness(
    free,
    freeMass.map((m) => m * shift),
  )
  freeStiffness.factor()

  const attitudes: DropAttitude[] = []
  const firstToBreak = new Float32Array(frame.nStations)
  const square = new Float64Array(ends)
  const squareStress = new Float64Array(ends)
  let hardContactS = 0
  let nBase = 0
  for (let a = 0; a < directions.length; a++) {
    if (a % 4 === 0) {
      task?.onProgress?.(a / directions.length, 'dropping it')
      await breathe(task)
    }
    const down = directions[a]
    let far = Number.NEGATIVE_INFINITY
    let first = 0
    for (let p = 0; p < positions.length; p += 3) {
      const d = positions[p] * down[0] + positions[p + 1] * down[1] + positions[p + 2] * down[2]
      if (d > far) {
        far = d
        first = p
      }
    }
    let contact: [number, number, number] = [positions[first], positions[first + 1], positions[first + 2]]
    const onBase = contact[2] <= baseTop
    // Flat on its base within two degrees: the whole face stops.
    if (onBase && down[2] < -0.9994) contact = [body.centre[0], body.centre[1], 0]
    square.fill(0)
    squareStress.fill(0)
    const table = onBase ? clampedTable : freeTable
    const r = [0, 1, 2].map((c) => contact[c] - body.centre[c])
    if (onBase && baseModes) {
      // Push at the contact that stops it there: shift and turn of the rigid body.
      const up = down.map((d) => -d)
      const lever = [r[1] * up[2] - r[2] * up[1], r[2] * up[0] - r[0] * up[2], r[0] * up[1] - r[1] * up[0]]
      const turn = turnOf(body.inertia, lever)
      const inverse = 1 / body.massG + turn[0] * lever[0] + turn[1] * lever[1] + turn[2] * lever[2]
      const push = speed / inverse
      const change = [...up.map((d) => (d * push) / body.massG), ...turn.map((t) => t * push)]
      if (hardContactS === 0) {
        const radius = Math.max(1, (figure.base?.radiusMm ?? 5) / 2)
        hardContactS = hertzImpact(1 / inverse, speed, radius, contactMPa).timeS
      }
      const timeS = wishes.floor === 'soft' ? SOFT_CONTACT_S : hardContactS
      nBase++
      const { modes, use, stress } = baseModes
      for (let k = 0; k < modes.nModes; k++) {
        let velocity = 0
        for (let s = 0; s < 6; s++) velocity += change[s] * modes.starts[s * modes.nModes + k]
        const amplitude = (Math.abs(velocity) / modes.omega[k]) * pulseShare(modes.omega[k], timeS)
        for (let e = 0; e < ends; e++) {
          square[e] += (amplitude * use[k * ends + e]) ** 2
          squareStress[e] += (amplitude * stress[k * ends + e]) ** 2
        }
      }
    } else {
      let station = 0
      let nearest = Infinity
      for (let i = 0; i < frame.nStations; i++) {
        const d = Math.hypot(
          frame.at[3 * i] - contact[0],
          frame.at[3 * i + 1] - contact[1],
          frame.at[3 * i + 2] - contact[2],
        )
        if (d < nearest) {
          nearest = d
          station = i
        }
      }
      const radius = Math.max(frame.thickMm[station] / 2, 0.2)
      const blow = hertzImpact(body.massG, speed, radius, contactMPa)
      const spring =
        wishes.floor === 'soft' ? body.massG * 1e-6 * (Math.PI / SOFT_CONTACT_S) ** 2 : blow.forceN / blow.approachMm
      const arm = [0, 1, 2].map((c) => contact[c] - frame.at[3 * station + c])
      const load = new Float64Array(6 * free.nBodies)
      addStationLoad(free, load, station, [
        ...down,
        arm[1] * down[2] - arm[2] * down[1],
        arm[2] * down[0] - arm[0] * down[2],
        arm[0] * down[1] - arm[1] * down[0],
      ])
      // The spring is one more row: Sherman and Morrison, so that the frame is factored once for all attitudes.
      const answer = load.slice()
      freeStiffness.solve(answer)
      const give = load.reduce((sum, v, i) => sum + v * answer[i], 0)
      const solve = (x: Float64Array): void => {
        freeStiffness.solve(x)
        let dot = 0
        for (let i = 0; i < x.length; i++) dot += load[i] * x[i]
        const f = (spring * dot) / (1 + spring * give)
        for (let i = 0; i < x.length; i++) x[i] -= f * answer[i]
      }
      const start = rigidField(free, down, [0, 0, 0], body.centre)
      const modes = startedModes(solve, freeMass, [start], 10, shift)
      const { use, stress } = modalUse(free, freeTable, modes)
      for (let k = 0; k < modes.nModes; k++) {
        const amplitude = (Math.abs(modes.starts[k]) * speed) / Math.sqrt(modes.omega[k] ** 2 + shift)
        for (let e = 0; e < ends; e++) {
          square[e] += (amplitude * use[k * ends + e]) ** 2
          squareStress[e] += (amplitude * stress[k * ends + e]) ** 2
        }
      }
    }
    // Sudden loads leave a corner no time to yield, but what counts is the stress half a bead inside it: half the notch's excess.
    let worst = 0
    let at = 0
    for (let e = 0; e < ends; e++) {
      const use = (Math.sqrt(square[e]) * cornerOf(frame, table.station[e])) / RATE_GAIN
      if (use > worst) {
        worst = use
        at = e
      }
    }
    const chance = breakChance(worst, wishes.scatter)
    firstToBreak[table.station[at]] += chance.value / directions.length
    attitudes.push({
      down,
      contact,
      onBase,
      worstStation: table.station[at],
      use: worst,
      stressMPa: Math.sqrt(squareStress[at]) * cornerOf(frame, table.station[at]),
      breakChance: chance,
    })
  }
  const mean = (pick: (t: DropAttitude) => number): number =>
    attitudes.reduce((s, t) => s + pick(t), 0) / attitudes.length
  // Stress goes with speed, speed with the root of the height: halve the range of heights until half of the falls break something.
  let low = 1e-4
  let high = 50
  for (let k = 0; k < 50; k++) {
    const h = Math.sqrt(low * high)
    const f = Math.sqrt(h / wishes.heightM)
    if (mean((t) => breakChance(t.use * f, wishes.scatter).value) < 0.5) low = h
    else high = h
  }
  return {
    kind: 'drop-report',
    heightM: wishes.heightM,
    speedMPerS: speed / 1000,
    floor: wishes.floor,
    energyMJ: body.massG * 1e-6 * 9806.65 * wishes.heightM * 1000,
    contactMs:
      1000 *
      (wishes.floor === 'soft'
        ? SOFT_CONTACT_S
        : nBase > 0
          ? hardContactS
          : hertzImpact(body.massG, speed, 5, contactMPa).timeS),
    attitudes,
    breakShare: {
      value: mean((t) => t.breakChance.value),
      low: mean((t) => t.breakChance.low),
      high: mean((t) => t.breakChance.high),
    },
    firstToBreak,
    halfBreakHeightM: Math.sqrt(low * high),
  }
}
