// A slender limb bent far: the exact planar elastica with a section that changes along it, loaded across at its free end.
//
// EI(s) theta' = P * (lever of the load about s), load fixed in direction. Integrated from the tip inwards for a trial tip slope,
// which is corrected until the clamped end is straight. Exact check: elliptic integrals, Mattiasson, IJNME 17:145-153 (1981).

/** A bent limb, stations from the clamp (0) to the tip. */
export interface BentLimb {
  /** Travel of the tip across and back along the limb, mm. */
  readonly acrossMm: number
  readonly alongMm: number
  readonly tipSlope: number
  /** Moment at each station, N mm. */
  readonly moment: Float64Array
}

/** Curvature integrated from the tip with a trial slope: returns the slope at the clamp and fills moments. */
const fromTip = (
  s: Float64Array,
  stiffness: Float64Array,
  forceN: number,
  tipSlope: number,
  moment: Float64Array,
): { slope: number; across: number; along: number } => {
  const n = s.length
  // y: lever of the load about the current point, the distance from the tip along the clamp's direction.
  let slope = tipSlope
  let lever = 0
  let sideways = 0
  moment[n - 1] = 0
  for (let k = n - 1; k > 0; k--) {
    const length = s[k] - s[k - 1]
    const parts = 4
    const step = length / parts
    for (let p = 0; p < parts; p++) {
      const at = (p + 0.5) / parts
      const flex = (1 - at) / stiffness[k] + at / stiffness[k - 1]
      // Midpoint rule: second order, four parts a piece.
      const midSlope = slope - 0.5 * step * forceN * lever * flex
      const midLever = lever + 0.5 * step * Math.cos(slope)
      lever += step * Math.cos(midSlope)
      sideways += step * Math.sin(midSlope)
      slope -= step * forceN * midLever * flex
    }
    moment[k - 1] = forceN * lever
  }
  return { slope, across: sideways, along: s[n - 1] - s[0] - lever }
}

/**
 * Bends a clamped limb by a force across at its tip.
 * @param s distance of each station from the clamp along the limb, mm, rising from 0
 * @param stiffness bending stiffness EI at each station, N mm2
 */
export const bendLimb = (s: Float64Array, stiffness: Float64Array, forceN: number): BentLimb => {
  const moment = new Float64Array(s.length)
  let low = 0
  let high = Math.PI / 2
  let state = { slope: 0, across: 0, along: 0 }
  let tip = 0
  // The slope left at the clamp rises with the trial tip slope: halving never fails, and 46 halvings end at rounding.
  for (let k = 0; k < 46; k++) {
    tip = (low + high) / 2
    state = fromTip(s, stiffness, forceN, tip, moment)
    if (state.slope > 0) high = tip
    else low = tip
  }
  return { acrossMm: state.across, alongMm: state.along, tipSlope: tip, moment }
}

/**
 * Force at which the first station reaches its limiting moment, with the travel by then.
 * @param limit greatest moment each station bears, N mm
 */
export const bendToBreak = (
  s: Float64Array,
  stiffness: Float64Array,
  limit: Float64Array,
): { forceN: number; travelMm: number; station: number } => {
  const useAt = (forceN: number): { use: number; station: number; bent: BentLimb } => {
    const bent = bendLimb(s, stiffness, forceN)
    let use = 0
    let station = 0
    for (let k = 0; k < s.length; k++) {
      const u = bent.moment[k] / limit[k]
      if (u > use) {
        use = u
        station = k
      }
    }
    return { use, station, bent }
  }
  const total = s[s.length - 1] - s[0]
  let linear = Infinity
  for (let k = 0; k < s.length - 1; k++) linear = Math.min(linear, limit[k] / (s[s.length - 1] - s[k]))
  let low = linear
  let high = linear
  // A bent limb shortens its own lever, so it bears at least the linear force; past sixteen times that it only winds up.
  for (let k = 0; k < 8 && useAt(high).use < 1; k++) {
    low = high
    high *= 1.5
  }
  for (let k = 0; k < 30; k++) {
    const mid = (low + high) / 2
    if (useAt(mid).use < 1) low = mid
    else high = mid
  }
  const { station, bent } = useAt(high)
  return { forceN: high, travelMm: Math.min(bent.acrossMm, total), station }
}
