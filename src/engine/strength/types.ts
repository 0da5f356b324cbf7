// What the room says about strength. Lengths mm, forces N, stress MPa, energy mJ (N mm), mass g unless the name says otherwise.

/** A number with the range it may lie in. */
export interface Ranged {
  readonly value: number
  /** 5 and 95 of 100. */
  readonly low: number
  readonly high: number
}

/** How the inside is filled, from the recipe. */
export interface Stuffing {
  readonly nShells: number
  /** Width of a bead, mm. */
  readonly beadWidthMm: number
  readonly layerHeightMm: number
  readonly capThicknessMm: number
  /** 0-1. */
  readonly infillShare: number
}

/** Sections square to the axes of all limbs, and how they hang together. One entry per station. */
export interface LimbFrame {
  readonly kind: 'limb-frame'
  readonly nStations: number
  /** Middle of the section, xyz, and direction of the limb there (unit), xyz. */
  readonly at: Float64Array
  readonly along: Float64Array
  /** Area that bears load, mm2; infill counts with its stiffness share. */
  readonly area: Float64Array
  /** Second moments about the section's middle as a tensor in space: xx, yy, zz, xy, yz, zx per station, mm4. */
  readonly second: Float64Array
  /** Torsion constant, mm4. */
  readonly torsion: Float64Array
  /** Rim of the section at N_RIM even angles, xyz from the middle, mm: length 3*N_RIM*nStations. */
  readonly rim: Float64Array
  /** Plastic that belongs to the station, g. */
  readonly massG: Float64Array
  /** Thickness as a round section of the same least stiffness, mm. */
  readonly thickMm: Float64Array
  /** Notch factor in bending at a sudden step beside the station, 1 where there is none. */
  readonly notch: Float64Array
  /** 1 where the station sits on the part that is held (base). */
  readonly held: Uint8Array
  /** Pairs of stations joined by a piece of limb, length 2*nPieces. */
  readonly pieces: Uint32Array
  /** Branch of each station: limbs between forks, numbered from 0. */
  readonly branchOf: Uint32Array
  readonly branches: readonly LimbBranch[]
}

/** Points round a section's rim. */
export const N_RIM = 24

/** A limb between forks, or from a fork to its free end. */
export interface LimbBranch {
  /** Stations from the held side outwards. */
  readonly stations: readonly number[]
  readonly lengthMm: number
  /** Length over least radius of gyration. */
  readonly slenderness: number
  readonly thinnestMm: number
  readonly freeEnd: boolean
}

/** How a hand loads a limb. */
export type HandlingKind = 'push' | 'pull' | 'twist' | 'pinch'

/** What one load does before something breaks. */
export interface HandlingLoad {
  readonly kind: HandlingKind
  /** Limb it acts on, and where: station and xyz, mm. */
  readonly branch: number
  readonly station: number
  readonly at: readonly [number, number, number]
  /** Unit direction of the force or axis of the twist. */
  readonly direction: readonly [number, number, number]
  /** Force at which something breaks, N; for a twist the torque, N mm. */
  readonly breakForceN: Ranged
  /** Travel of the loaded place by then, mm; for a twist radians. */
  readonly breakTravelMm: Ranged
  /** Travel at which the plastic reaches its stretch at break: the ductile end, mm. */
  readonly strainTravelMm: number
  /** Station where it breaks. */
  readonly breaksAt: number
  /** Stress there per newton (per N mm for a twist), MPa. */
  readonly stressPerN: number
  /** True when the travel is over a tenth of the length, so that large rotations were counted. */
  readonly largeRotation: boolean
  /** Chance of breaking by each of the stated travels (thin parts) or by the stated force (thick parts). */
  readonly judgedBy: 'travel' | 'force'
  readonly risks: readonly { readonly limit: number; readonly chance: Ranged }[]
}

/** One attitude of a fall. */
export interface DropAttitude {
  /** Direction of the fall in the figure's frame, unit. */
  readonly down: readonly [number, number, number]
  /** First contact, mm, and whether it is the base. */
  readonly contact: readonly [number, number, number]
  readonly onBase: boolean
  /** Station with the greatest share of its strength used, that share, and the stress, MPa. */
  readonly worstStation: number
  readonly use: number
  readonly stressMPa: number
  readonly breakChance: Ranged
}

/** Falls from a table in many attitudes. */
export interface DropReport {
  readonly kind: 'drop-report'
  readonly heightM: number
  readonly speedMPerS: number
  readonly floor: 'hard' | 'soft'
  readonly energyMJ: number
  /** Time of contact, ms: Hertz, elastic. */
  readonly contactMs: number
  readonly attitudes: readonly DropAttitude[]
  /** Share of falls that break something. Times ten: breaks in n of 10 drops. */
  readonly breakShare: Ranged
  /** Share of falls in which each station is the first to break. */
  readonly firstToBreak: Float32Array
  /** Height at which half of all falls break something, m, at most 50; stress goes with speed. */
  readonly halfBreakHeightM: number
}

/** Does it stand, and how hard must one push. */
export interface Standing {
  readonly centre: readonly [number, number, number]
  readonly massG: number
  /** Least angle of tipping over, degrees, and the direction it falls, unit xy. */
  readonly tipDegrees: number
  readonly towards: readonly [number, number]
  /** Sideways push at the top that tips it, N, and energy to tip it, mJ. */
  readonly pushAtTopN: number
  readonly tipEnergyMJ: number
}

/** Prying the figure off the bed. */
export interface BedHold {
  /** First layer's area, mm2, and straight pull that lifts it, N. */
  readonly areaMm2: number
  readonly holdN: Ranged
  /** Sideways force at the top that peels it, N, and movement of the top by then (or until a limb breaks), mm. */
  readonly pryAtTopN: Ranged
  readonly pryTravelMm: number
  /** True when the limb one would hold it by breaks before the bed lets go. */
  readonly limbBreaksFirst: boolean
}

/** A place that gives first. */
export interface WeakPlace {
  readonly station: number
  readonly branch: number
  readonly at: readonly [number, number, number]
  readonly heightMm: number
  readonly thickMm: number
  /** Least force that breaks it, over all handling loads of the limb, N, with its travel, mm. */
  readonly forceN: Ranged
  readonly travelMm: Ranged
  readonly load: HandlingKind
  /** Length of the lever between load and break, mm. */
  readonly leverMm: number
  /** Share of drops in which it is the first to break. */
  readonly dropShare: number
  /** What makes it weak, most telling first. */
  readonly causes: readonly WeakCause[]
  /** Load under which the shaft buckles, N: Euler, its foot as stiff as the rest of the figure; infinite for what is not slender. */
  readonly bucklesAtN: number
}

export type WeakCause = 'thin' | 'long lever' | 'across layers' | 'weak bond' | 'notch' | 'infill inside'

/** What a change would bring at a weak place: numbers before and after. */
export interface StrengthRemedy {
  readonly id: 'pin' | 'thicker' | 'stance' | 'more shells' | 'fillet'
  readonly label: string
  /** Amount of the change: pin diameter, growth mm, or tilt degrees, shells. */
  readonly amount: number
  /** Force and travel at break before and after, N, mm. */
  readonly forceBeforeN: number
  readonly forceAfterN: number
  readonly travelBeforeMm: number
  readonly travelAfterMm: number
  /** Plastic (or metal) added, g. */
  readonly addedG: number
  readonly note: string
}

/** Answer of the quick look. */
export interface QuickStrength {
  readonly kind: 'quick-strength'
  readonly frame: LimbFrame
  readonly weakPlaces: readonly WeakPlace[]
  readonly loads: readonly HandlingLoad[]
  readonly drop: DropReport
  readonly standing: Standing
  readonly bed: BedHold
  /** Per layer: sideways give of the limb printed there, mm per newton of the nozzle's push; NaN where only held plastic lies. */
  readonly layerGiveMmPerN: Float64Array
  /** Stress from own weight at the worst station as a share of its limit: nothing, and shown to be. */
  readonly ownWeightUse: number
  /** Per layer: greatest share of strength used by 1 N pushed at the worst place of any limb that passes there, stress per newton, MPa; NaN where only held plastic lies. */
  readonly layerStressPerN: Float64Array
  /** Per layer: least force on any limb that breaks it in this layer, N; NaN where none. */
  readonly layerBreakForceN: Float64Array
  readonly remedies: readonly { readonly weakPlace: number; readonly remedies: readonly StrengthRemedy[] }[]
  /** What the numbers rest on, one sentence each. */
  readonly basis: readonly string[]
}
