// What the room says about stances. Lengths mm, areas mm2, forces N; directions are unit vectors in the frame of the figure as given.

import type { Stance } from '../figure/index.ts'

/** Unit vector: which way of the given figure points up on the bed. */
export type Direction = readonly [number, number, number]

/** Columns of one row of cheap measures. */
export const STANCE_ROW = {
  /** Height on the bed, mm. */
  height: 0,
  /** Half the sum of projected triangles, mm2: the shadow of a convex body, more than it for any other. */
  shadow: 1,
  /** Surface that slopes down farther than a bead carries, off the bed, mm2. */
  underside: 2,
  /** Room between it and the bed, mm3: what straight props would fill; parts of the figure in between are not seen. */
  propRoom: 3,
  /** Layer height times |cos|, summed over the surface, mm3: the stair-step integral. */
  steps: 4,
  /** Mean step on the head, um. */
  headStepUm: 5,
  /** Length of all layers' outlines, mm. */
  outline: 6,
  /** What lies on the bed by itself, mm2. */
  contact: 7,
  /** Least force of a hand that breaks a limb, N. */
  leastForce: 8,
  /** Length of thin limbs that run across the layers, mm, weighted by cos2. */
  thinAcross: 9,
  /** Print time, minutes, by layers and outline length, on the scale of the given stance where that was timed. */
  minutes: 10,
  /** Sideways force at the top that peels it off the bed, N. */
  pry: 11,
} as const
export const STANCE_COLUMNS = 12

/** What a stance was chosen for. */
export const STANCE_AIMS = ['as given', 'all round', 'strong', 'smooth head', 'few props', 'quick', 'firm'] as const
export type StanceAim = (typeof STANCE_AIMS)[number]

/** Cheap measures of many stances. */
export interface StanceSearch {
  readonly kind: 'stance-search'
  readonly nStances: number
  /** Up direction of each, xyz. The first is the given stance. */
  readonly ups: Float64Array
  /** Rows of STANCE_COLUMNS, see STANCE_ROW. */
  readonly rows: Float64Array
  /** 1 for stances that no other beats, within the grain of the measures. */
  readonly unbeaten: Uint8Array
  /** 1 for attitudes in which the figure would come to rest by itself. */
  readonly resting: Uint8Array
  /** Angle from the vertical beyond which a surface counts as an underside, radians. */
  readonly undersideSlope: number
  /** Share of the surface that counts as head. */
  readonly headShare: number
}

/** A stance looked at by the full rooms. */
export interface StanceLook {
  readonly stance: Stance
  readonly up: Direction
  readonly aims: readonly StanceAim[]
  /** The attitude in words, "leaning 30 deg backwards". */
  readonly attitude: string
  readonly heightMm: number
  readonly minutes: number
  readonly massG: number
  readonly nLayers: number
  /** First layer on the bed, mm2, and the sideways force at the top that peels it off, N. */
  readonly contactMm2: number
  readonly pryN: number
  /** Surface beyond what a bead carries, mm2, room for props below it, mm3 (cheap measures), and islands that start in mid air. */
  readonly undersideMm2: number
  readonly propRoomMm3: number
  readonly startsInAir: number
  /** Mean step on the head, and over the whole surface, um. */
  readonly headStepUm: number
  readonly meanStepUm: number
  /** Least force of a hand that breaks a limb, N, and where: height on the given figure, mm, and thickness, mm. NaN without limbs. */
  readonly leastForceN: number
  readonly weakAtMm: number
  readonly weakThickMm: number
  /** Hottest top that a layer is laid on, deg C, and layers laid on plastic that is still soft. */
  readonly hottestTopC: number
  readonly nSoftLayers: number
  /** True when no other of the looked-at stances is as good in everything and better in something. */
  readonly unbeaten: boolean
  /** What it is best at, and what it gives up against the best, one sentence each. */
  readonly gains: readonly string[]
  readonly givesUp: readonly string[]
  /** Outlines of its layers, for a small picture. */
  readonly picture: StanceOutlines
}

/** Layer outlines thinned for a small picture: fits the elevation of the picture room. */
export interface StanceOutlines {
  readonly nLayers: number
  readonly faceZ: Float64Array
  readonly layerStart: Uint32Array
  readonly loopStart: Uint32Array
  readonly points: Float64Array
}

/** How the two parts of a cut figure are joined. */
export interface CutJoint {
  /** "pin": a metal rod in a bore of both parts. "peg": the limb's own end in a socket of the thicker part. */
  readonly kind: 'pin' | 'peg'
  /** Diameter of rod or peg, and of the hole as drawn, mm. */
  readonly pinMm: number
  readonly holeMm: number
  /** Depth in each part (for a peg: in the socket), mm. */
  readonly depthMm: number
  /** Plastic left round the hole, mm, and in beads. */
  readonly wallMm: number
  readonly wallBeads: number
  /** Bending that the joint bears as a share of the uncut limb's, printed as given. */
  readonly strengthShare: number
}

/** One flat cut. */
export interface CutPlane {
  /** A point on the plane, mm, and its unit normal, towards the part that comes off; frame of the given figure. */
  readonly at: Direction
  readonly normal: Direction
  readonly thickMm: number
  readonly joint: CutJoint
  /** True where the limb passes through what holds it. */
  readonly isThrough: boolean
}

/** A part of the cut figure and the stance that suits it. */
export interface CutPart {
  readonly name: string
  readonly volumeMm3: number
  readonly up: Direction
  readonly attitude: string
  readonly heightMm: number
  readonly undersideMm2: number
  readonly propRoomMm3: number
  readonly leastForceN: number
  readonly thinAcrossMm: number
  readonly minutes: number
  /** What lies on the bed by itself, mm2, and the sideways force at the top that peels it off, N. */
  readonly contactMm2: number
  readonly pryN: number
}

/** "Print it lying and glue it": where to cut, and what that gains. Advice only: nothing is cut and no print file is written. */
export interface CutAdvice {
  readonly planes: readonly CutPlane[]
  /** Length of the limb, and its thickness at the weakest place, mm. */
  readonly lengthMm: number
  readonly thickMm: number
  /** The single stance that comes nearest: as strong, and asking least for props and hold. */
  readonly whole: CutPart
  readonly parts: readonly [CutPart, CutPart]
  /** Least breaking force as given, and of the weakest of parts and joint, N. */
  readonly forceGivenN: number
  readonly forceAfterN: number
  readonly words: readonly string[]
}

/** Everything the room answers. */
export interface StanceReport {
  readonly kind: 'stance-report'
  readonly name: string
  readonly search: StanceSearch
  /** The given stance first, then the others, best all round first. */
  readonly looks: readonly StanceLook[]
  readonly cut: CutAdvice | null
  /** Why no cut is advised, when none is. */
  readonly noCut: string | null
  /** What the numbers rest on, and what was left out, one sentence each. */
  readonly basis: readonly string[]
}
