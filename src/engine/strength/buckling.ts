// Shafts pressed along their length: Euler's load with a foot that gives.
//
// Timoshenko & Gere, Theory of elastic stability, 2.1-2.3 (elastically built-in ends). The foot is as stiff as the rest of the figure lets
// it be: the frame's own turning there under a couple. Limits: even section (the one told), straight shaft, pressed at its end.

import { addStationLoad, type FrameModel } from './frame-model.ts'

/**
 * Load under which a straight shaft buckles, N.
 * @param footNmmPerRad couple that turns the foot by one radian; infinite: clamped
 * @param end free to move aside, or held against that but free to turn
 */
export const bucklingN = (
  modulusMPa: number,
  secondMm4: number,
  lengthMm: number,
  footNmmPerRad: number,
  end: 'free' | 'pinned',
): number => {
  const bending = modulusMPa * secondMm4
  const foot = (footNmmPerRad * lengthMm) / bending
  const give = foot > 0 ? 1 / foot : Infinity
  // Free: x tan x = foot. Pinned: sin x (1 + x2 / foot) = x cos x. Both fall through 0 once between the two limits.
  let [low, high] = end === 'free' ? [0, Math.PI / 2] : [Math.PI, 4.493409457909064]
  if (give === Infinity) high = low
  const above = (x: number): boolean =>
    end === 'free' ? x * Math.sin(x) * give < Math.cos(x) : Math.sin(x) * (1 + x * x * give) > x * Math.cos(x)
  for (let k = 0; k < 60; k++) {
    const x = (low + high) / 2
    if (above(x)) low = x
    else high = x
  }
  return (bending * ((low + high) / 2) ** 2) / lengthMm ** 2
}

/**
 * Couple that turns a station of the frame by one radian across a direction, N mm: the softer of the two ways.
 * @param solve solves the factored frame in place
 */
export const footStiffness = (
  model: FrameModel,
  solve: (load: Float64Array) => void,
  station: number,
  along: readonly number[],
): number => {
  const body = model.bodyOf[station]
  if (body < 0) return Infinity
  const [x, y, z] = along
  const a = Math.abs(z) < 0.9 ? [y, -x, 0] : [0, z, -y]
  const l = Math.hypot(a[0], a[1], a[2])
  const b = [y * a[2] - z * a[1], z * a[0] - x * a[2], x * a[1] - y * a[0]]
  let most = 0
  for (const way of [a, b]) {
    const axis = way.map((v) => v / l)
    const load = new Float64Array(6 * model.nBodies)
    addStationLoad(model, load, station, [0, 0, 0, ...axis])
    solve(load)
    const o = 6 * model.position[body] + 3
    most = Math.max(most, load[o] * axis[0] + load[o + 1] * axis[1] + load[o + 2] * axis[2])
  }
  return most > 0 ? 1 / most : Infinity
}
