// Arcs of motion code: centre and radius form, in three planes, as chords. Source: NIST IR 6556, section 3.5.3.

/** A circular arc in its plane: centre, radius, angle at the start, signed angle swept. */
export interface PlaneArc {
  readonly centreU: number
  readonly centreV: number
  readonly radius: number
  readonly start: number
  readonly sweep: number
  /** By how much start and end differ in their distance from the centre, mm. */
  readonly offMm: number
}

const TURN = 2 * Math.PI

const swept = (from: number, to: number, clockwise: boolean): number => {
  let sweep = to - from
  if (clockwise) {
    while (sweep >= -1e-12) sweep -= TURN
    while (sweep < -TURN - 1e-12) sweep += TURN
  } else {
    while (sweep <= 1e-12) sweep += TURN
    while (sweep > TURN + 1e-12) sweep -= TURN
  }
  return sweep
}

/** Centre form: (i, j) leads from the start to the centre. An arc that ends where it starts is a full circle. Null without a radius. */
export const arcByCentre = (
  u0: number,
  v0: number,
  u1: number,
  v1: number,
  i: number,
  j: number,
  clockwise: boolean,
): PlaneArc | null => {
  const radius = Math.hypot(i, j)
  if (!(radius > 1e-9)) return null
  const centreU = u0 + i
  const centreV = v0 + j
  const start = Math.atan2(v0 - centreV, u0 - centreU)
  const end = Math.atan2(v1 - centreV, u1 - centreU)
  const endRadius = Math.hypot(u1 - centreU, v1 - centreV)
  const full = Math.hypot(u1 - u0, v1 - v0) < 1e-9
  const sweep = full ? (clockwise ? -TURN : TURN) : swept(start, end, clockwise)
  return { centreU, centreV, radius, start, sweep, offMm: Math.abs(endRadius - radius) }
}

/** Radius form: a negative radius takes the arc over 180 degrees. Null when the ends coincide or lie further apart than the diameter. */
export const arcByRadius = (
  u0: number,
  v0: number,
  u1: number,
  v1: number,
  signedRadius: number,
  clockwise: boolean,
): PlaneArc | null => {
  const du = u1 - u0
  const dv = v1 - v0
  const chord = Math.hypot(du, dv)
  const radius = Math.abs(signedRadius)
  // A chord longer than the diameter by rounding of the file's last decimal is a half circle.
  if (chord < 1e-9 || chord > 2 * radius + 0.002) return null
  const height = Math.sqrt(Math.max(0, radius * radius - (chord * chord) / 4))
  // The centre lies right of the walk for a clockwise arc under 180 degrees, left for a counter-clockwise one.
  const side = clockwise === signedRadius > 0 ? -1 : 1
  const centreU = (u0 + u1) / 2 - (side * height * dv) / chord
  const centreV = (v0 + v1) / 2 + (side * height * du) / chord
  const start = Math.atan2(v0 - centreV, u0 - centreU)
  const end = Math.atan2(v1 - centreV, u1 - centreU)
  return { centreU, centreV, radius, start, sweep: swept(start, end, clockwise), offMm: 0 }
}

/** Number of chords that keep within the error. */
export const chordsOfArc = (radius: number, sweep: number, errorMm: number): number => {
  const most = radius <= errorMm ? Math.PI / 2 : 2 * Math.acos(1 - errorMm / radius)
  return Math.max(1, Math.ceil(Math.abs(sweep) / most - 1e-9))
}
