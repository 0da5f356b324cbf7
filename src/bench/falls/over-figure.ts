// What falls say at places of the surface: how grave it is to land there, and how often it breaks there first.

import type { DropByModes } from '../../engine/strength/index.ts'
import type { SurfaceQuantity } from '../messages.ts'
import { useOf } from './worst-apart.ts'

/** A landing speaks for the surface this near, mm; a break for the places that count as one with it. */
const LANDS_MM = 2.5
const BREAKS_MM = 3

type Triple = readonly [number, number, number]

/** Calls for every vertex within reach of a place. */
const eachNear = (positions: Float32Array, [x, y, z]: Triple, reachMm: number, call: (vertex: number) => void) => {
  for (let i = 0; i < positions.length; i += 3) {
    const [dx, dy, dz] = [positions[i] - x, positions[i + 1] - y, positions[i + 2] - z]
    if (dx * dx + dy * dy + dz * dz <= reachMm * reachMm) call(i / 3)
  }
}

/** The least multiple of a step that holds all values, one step at least. */
const roundAbove = (values: Float32Array, step: number): number => {
  let most = 0
  for (const value of values) if (value > most) most = value
  return step * Math.max(1, Math.ceil(most / step))
}

/**
 * Quantities for the vertices of a shown surface.
 * @param positions xyz per vertex, mm, in the frame of the falls
 */
export const overFigure = (drop: DropByModes, positions: Float32Array): readonly SurfaceQuantity[] => {
  const n = positions.length / 3
  const lands = new Float32Array(n).fill(Number.NaN)
  const breaks = new Float32Array(n)
  const even = drop.attitudes.filter(({ kind }) => kind === 'even')
  for (const fall of even) {
    const use = 100 * useOf(fall)
    eachNear(positions, fall.contact, LANDS_MM, (v) => {
      if (!(lands[v] >= use)) lands[v] = use
    })
    const share = (100 * fall.breakChance.value) / even.length
    eachNear(positions, fall.at, BREAKS_MM, (v) => {
      breaks[v] += share
    })
  }
  return [
    {
      id: 'falls-land',
      name: 'landing here uses',
      unit: '%',
      values: lands,
      from: 0,
      to: roundAbove(lands, 100),
      decimals: 0,
    },
    {
      id: 'falls-break',
      name: 'breaks here',
      unit: '%',
      values: breaks,
      from: 0,
      to: roundAbove(breaks, 5),
      decimals: 0,
    },
  ]
}
