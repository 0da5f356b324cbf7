// How a limb that was printed apart is fixed: its own end as a peg in a socket, or a metal pin in a bore of both parts.
//
// Hole: peg or pin and a clearance all round; at least one bead of plastic must stay round it. Strength: bending of peg, of the ring round
// the socket, and of the pin, against the uncut limb as given. Clearance: common practice, no source; small holes come out narrower than
// drawn, so they are to be opened by hand.

import { limitsAlong, pinEffect, type StrengthMaterial } from '../strength/index.ts'
import type { CutJoint } from './types.ts'

/** What the machine can hold. */
export interface JointLimits {
  /** Narrowest bead, nominal bead and bore of the nozzle, mm. */
  readonly leastBeadMm: number
  readonly beadMm: number
  readonly nozzleBoreMm: number
}

/** Clearance all round, mm: common practice, no source. */
const CLEARANCE_MM = 0.1
/** Wire that shops sell, mm. */
const WIRE_MM = [0.5, 0.6, 0.8, 1, 1.2, 1.5, 2]

/** The narrowest hole that is laid as a hole and not closed by its own beads, mm: twice the bore; from memory. */
export const leastHoleMm = ({ nozzleBoreMm }: JointLimits): number => 2 * nozzleBoreMm

/** Section modulus of a ring, mm3. */
const ringModulus = (outer: number, inner: number): number => (Math.PI * (outer ** 4 - inner ** 4)) / (32 * outer)

/**
 * The better joint, or null where neither has room.
 * @param limbMm thickness of the limb at the cut
 * @param holderMm thickness of what holds it
 * @param depthMm plastic along the axis in the holder
 * @param cosGiven between the limb's axis and the layers' normal in the given stance
 * @param cosHolder the same for the holder's part in its new stance
 */
export const chooseJoint = (
  limbMm: number,
  holderMm: number,
  depthMm: number,
  cosGiven: number,
  cosHolder: number,
  material: StrengthMaterial,
  limits: JointLimits,
): CutJoint | null => {
  const before = limitsAlong(material, cosGiven).tensionMPa * ringModulus(limbMm, 0)
  const options: CutJoint[] = []
  const roomMm = depthMm - limits.beadMm
  const pegHole = limbMm + 2 * CLEARANCE_MM
  // On a base the wall is as wide as one likes; a ring of twice the peg stands for it.
  const outer = Number.isFinite(holderMm) ? holderMm : 3 * pegHole
  const pegWall = (outer - pegHole) / 2
  const pegDepth = Math.min(roomMm, 2.5 * limbMm)
  if (pegWall >= limits.leastBeadMm && pegDepth >= limbMm) {
    const peg = limitsAlong(material, 0).tensionMPa * ringModulus(limbMm, 0)
    const socket = limitsAlong(material, cosHolder).tensionMPa * ringModulus(outer, pegHole)
    options.push({
      kind: 'peg',
      pinMm: limbMm,
      holeMm: pegHole,
      depthMm: pegDepth,
      wallMm: pegWall,
      wallBeads: pegWall / limits.beadMm,
      strengthShare: Math.min(peg, socket) / before,
    })
  }
  const wire = WIRE_MM.filter((d) => d + 2 * CLEARANCE_MM + 2 * limits.leastBeadMm <= limbMm).at(-1)
  if (wire !== undefined && roomMm >= 2 * wire) {
    const lying = limitsAlong(material, 0)
    const given = limitsAlong(material, cosGiven)
    const holeMm = wire + 2 * CLEARANCE_MM
    const wallMm = (limbMm - holeMm) / 2
    options.push({
      kind: 'pin',
      pinMm: wire,
      holeMm,
      depthMm: Math.min(roomMm, 3 * wire),
      wallMm,
      wallBeads: wallMm / limits.beadMm,
      // Glue carries no tension here: what the steel alone bears, never more than the whole section with it.
      strengthShare:
        Math.min(
          pinEffect(limbMm, wire, lying.modulusMPa, lying.tensionMPa).force * lying.tensionMPa,
          steelMPa(wire, limbMm),
        ) / given.tensionMPa,
    })
  }
  if (options.length === 0) return null
  // A peg that bears what the limb bore is less fiddly than a pin: it wins.
  const peg = options.find(({ kind, strengthShare }) => kind === 'peg' && strengthShare >= 1)
  if (peg) return peg
  return options.reduce((best, joint) => (joint.strengthShare > best.strengthShare ? joint : best))
}

/** Yield of spring steel wire, MPa: EN 10270-1 class, from memory. */
const WIRE_YIELD_MPA = 1200
/** Moment of the wire at yield as the stress it would be in the limb's own section, MPa. */
const steelMPa = (wireMm: number, limbMm: number): number => (WIRE_YIELD_MPA * wireMm ** 3) / limbMm ** 3
