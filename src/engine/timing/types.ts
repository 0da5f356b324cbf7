// When everything happens: times of beads and layers, speeds that are really reached, and what the total assumes.

/** What the machine allows. Speeds mm/s, accelerations mm/s2, lengths mm. */
export interface MotionLimits {
  readonly acceleration: number
  /** "jump": the velocity vector may change by cornerSpeed at once. "deviation": a circle leaves the corner by cornerDeviation. */
  readonly cornerRule: 'jump' | 'deviation'
  readonly cornerSpeed: number
  readonly cornerDeviation: number
  /** Speed on curves made of short pieces is held to what the acceleration allows on their radius. */
  readonly curvatureLimit: boolean
  /** Greatest speed and acceleration along x, y, z and of the filament. */
  readonly mostSpeed: readonly [number, number, number, number]
  readonly mostAcceleration: readonly [number, number, number, number]
  /** Change of z speed and of filament speed that is made at once. */
  readonly zCornerSpeed: number
  readonly filamentCornerSpeed: number
}

/** Plain moves, one after the other, at rest at both ends. */
export interface MoveList {
  readonly nMoves: number
  /** x, y, z and filament position per point, mm; move i goes from point i to point i+1; length 4*(nMoves+1). */
  readonly points: Float64Array
  /** Set speed of each move, mm/s (of the filament where only the filament moves), length nMoves. */
  readonly speed: Float64Array
}

/** What became of plain moves. */
export interface MoveTimes {
  readonly totalS: number
  /** Seconds per move, length nMoves. */
  readonly durationS: Float64Array
  /** Speed at each joint and the greatest speed within each move, mm/s, lengths nMoves+1 and nMoves. */
  readonly jointSpeed: Float64Array
  readonly peakSpeed: Float64Array
}

/** The total, with what was assumed beyond the moves. All in seconds. */
export interface TimeTotals {
  readonly heatingS: number
  readonly startS: number
  readonly printS: number
  readonly coolingS: number
  readonly removalS: number
  readonly totalS: number
  /** Parts of printS. */
  readonly beadsS: number
  readonly travelsS: number
  readonly retractionsS: number
  readonly waitsS: number
  /** One sentence for each assumption. */
  readonly assumed: readonly string[]
}

/** Times of a bead plan. Time 0 is the first move of the print. */
export interface Timeline {
  readonly kind: 'timeline'
  /** When the travel to the bead begins, when the bead begins and ends, s, length nBeads. */
  readonly travelS: Float64Array
  readonly startS: Float64Array
  readonly endS: Float64Array
  /** When the nozzle passes each point of the plan, s, length nPoints. */
  readonly pointS: Float64Array
  /** Set speed after slow-down, mean and greatest speed reached, mm/s, length nBeads. */
  readonly setSpeed: Float32Array
  readonly meanSpeed: Float32Array
  readonly mostSpeed: Float32Array
  /** Share of the bead's length laid below its set speed, 0-1, length nBeads. */
  readonly belowSetShare: Float32Array
  /** Greatest volume rate in the bead, mm3/s, length nBeads. */
  readonly mostFlow: Float32Array
  /** When each layer begins and, last, when the print ends, s, length nLayers+1. A layer begins with the travel to its first bead. */
  readonly layerS: Float64Array
  /** Seconds each layer would take at the typed speeds alone, and really takes (waits included), length nLayers. */
  readonly layerTypedS: Float64Array
  readonly layerRealS: Float64Array
  /** Share of the typed speed that was kept for the least layer time, 0-1, and wait at the layer's end, s, length nLayers. */
  readonly layerSpeedShare: Float32Array
  readonly layerWaitS: Float64Array
  readonly totals: TimeTotals
}

/** Whether a plan fits the machine. Lengths mm. */
export interface MachineFit {
  readonly widthMm: number
  readonly depthMm: number
  readonly heightMm: number
  readonly fitsBed: boolean
  readonly fitsHeight: boolean
  /** False when the gantry would strike a finished figure of this height: no printing of one after the other. */
  readonly underGantry: boolean
}
