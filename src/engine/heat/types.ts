// What the heat room hands out: temperatures at landing, how deep each pass softens, healing, least layer times, the energy balance.

/** Cells of the calculation: columns of square cells, one cell a layer. */
export interface HeatGrid {
  /** Side of a cell, mm. */
  readonly cellMm: number
  readonly nX: number
  readonly nY: number
  readonly nLayers: number
  /** Corner of the cell (0, 0), mm. */
  readonly x0: number
  readonly y0: number
}

/** Where the heat came from and where it went, J. */
export interface EnergyBalance {
  /** Enthalpy of the plastic as it left the nozzle, above room temperature; in a window with what was there at its start. */
  readonly laidJ: number
  /** From the nozzle's end into the bead under it, and through gap air into what stands beside it. */
  readonly nozzleContactJ: number
  readonly nozzleGapJ: number
  /** Radiation of the nozzle's end and of the heater block. */
  readonly nozzleRadiationJ: number
  /** Net heat from the bed into the figure (negative: into the bed). */
  readonly bedJ: number
  readonly convectedJ: number
  readonly radiatedJ: number
  /** Left in the figure at the end, above room temperature. */
  readonly storedJ: number
  /** (laid + nozzle + bed - lost - stored) / (laid + nozzle), signed. */
  readonly imbalanceShare: number
}

/** Values of single beads, each of length nBeads; NaN where the bead lies on the bed or over air only. */
export interface BeadHeat {
  /** Mean and greatest temperature of the plastic just under the bead as it lands, deg C. */
  readonly belowC: Float32Array
  readonly belowMostC: Float32Array
  /** Greatest depth below the bead, mm and layers, that its pass brought to the lower softening temperature or found there. */
  readonly softDepthMm: Float32Array
  readonly softDepthLayers: Float32Array
  /** Depth that was soft at the moment the bead landed, mm, greatest of the bead. */
  readonly standingSoftMm: Float32Array
  /** Seconds above the lower softening temperature after laying, until it is first below; mean of the bead. */
  readonly softS: Float32Array
  /** How often, and for how many seconds in all, the bead was softened again later; mean of the bead. */
  readonly resoftenedTimes: Float32Array
  readonly resoftenedS: Float32Array
  /** Healing with the layer below, 0-1, mean of the bead. */
  readonly healing: Float32Array
}

/** Values of layers, each of length nLayers; NaN where there is none (the first layer has no plastic below). */
export interface LayerHeat {
  /** Mean over the laid plastic of the temperature just under the nozzle at landing, deg C. */
  readonly belowC: Float64Array
  /** The same mean for the layer's hottest piece, its middle (xy per layer, mm; length 2*nLayers) and its width 4 area / perimeter, mm. */
  readonly belowPieceC: Float64Array
  readonly belowPieceAt: Float64Array
  readonly belowPieceWidthMm: Float64Array
  /** Greatest at any place, as a rule where the layer begins right where the last one ended, deg C. */
  readonly belowMostC: Float64Array
  /** Share of the layer's plastic that lands on plastic above the lower, and above the upper softening temperature, 0-1. */
  readonly onSoftShare: Float64Array
  readonly onSoftThroughoutShare: Float64Array
  /** Depth softened by the layer's passes: mean and greatest, mm; mean in layers; and mean of the hottest piece, mm. */
  readonly softDepthMm: Float64Array
  readonly softDepthMostMm: Float64Array
  readonly softDepthLayers: Float64Array
  readonly softDepthPieceMm: Float64Array
  /** Depth already soft when the nozzle comes back: mean and greatest, mm. */
  readonly standingSoftMm: Float64Array
  readonly standingSoftMostMm: Float64Array
  /** Standing soft depth over the width of the part there, greatest of the layer: above about 1 the soft stub leans. No source. */
  readonly softStub: Float64Array
  readonly softS: Float64Array
  readonly resoftenedTimes: Float64Array
  readonly resoftenedS: Float64Array
  /** Healing with the layer below: mean and least, 0-1. */
  readonly healing: Float64Array
  readonly healingLeast: Float64Array
  /** Temperature of the layer's plastic when the layer ends, mean, deg C. */
  readonly endC: Float64Array
  /** Real layer time, s. */
  readonly realS: Float64Array
}

/** The same questions answered piece by piece in a layer model; quick, and for a range of air speeds. */
export interface QuickHeat {
  readonly kind: 'quick-heat'
  readonly nLayers: number
  readonly airMPerS: number
  /** Per layer: temperature just under its hottest piece as that is laid, deg C; NaN on the bed. */
  readonly topC: Float64Array
  /** Real layer time, s. */
  readonly realS: Float64Array
  /** Least layer time: the shortest time between a piece's layers at which its top is back below the limit, of the piece that misses most, s. */
  readonly leastS: Float64Array
  /** Time that really passes between the layers of that piece, s: far from the layer time where a layer begins where the last one ended. */
  readonly intervalS: Float64Array
  /** The same for each air speed of `airSpeeds`, rows of nLayers. */
  readonly airSpeeds: readonly number[]
  readonly topAtAirC: readonly Float64Array[]
  readonly leastAtAirS: readonly Float64Array[]
  /** Wait that is missing between the piece's layers, s; and share of the speed that takes as long, 0-1 (a slow nozzle warms more than a wait). */
  readonly pauseS: Float64Array
  readonly speedShare: Float64Array
  /** Width of the piece that decides (4 area / perimeter), mm, and its middle, xy per layer. */
  readonly decidingWidthMm: Float64Array
  readonly decidingAt: Float64Array
  /** Limit that leastS holds to, deg C. */
  readonly limitC: number
}

/** Temperatures of everything laid before a layer began. */
export interface HeatState {
  /** Layers laid so far, and the height they reach, mm. */
  readonly nLayers: number
  readonly topZ: number
  /** By packed row, deg C. */
  readonly celsius: Float32Array
}

/** States kept during a run, a millimetre or two apart. Rows z * (nY + 2) + y with their empty border. */
export interface HeatStates {
  readonly grid: HeatGrid
  readonly layerTopZ: Float64Array
  /** First and last cell of each row, and where the row begins in the packed values. */
  readonly first: Int32Array
  readonly last: Int32Array
  readonly rowStart: Uint32Array
  readonly states: readonly HeatState[]
}

/** A part of the height that is followed from a kept state on, instead of the whole. */
export interface HeatWindow {
  /** Heights that are asked about, mm. */
  readonly fromMm: number
  readonly toMm: number
  /** Kept by a run of the whole figure. */
  readonly states: HeatStates
}

/** What cells of twice the side change in the gravest millimetre: medians over its layers. Cells of the run's own side are wrong by that order. */
export interface CellCheck {
  /** Side of the larger cells, mm, and heights looked at, mm. */
  readonly cellMm: number
  readonly fromMm: number
  readonly toMm: number
  /** Temperature that layers land on, K; depth softened again, mm; healing, 0-1. */
  readonly belowK: number
  readonly softDepthMm: number
  readonly healing: number
}

export interface HeatResult {
  readonly kind: 'heat'
  readonly grid: HeatGrid
  /** Band within which the plastic gives way, and middle of the glass transition, deg C. */
  readonly softFromC: number
  readonly softToC: number
  readonly glassC: number
  readonly beads: BeadHeat
  readonly layers: LayerHeat
  readonly quick: QuickHeat
  readonly energy: EnergyBalance
  /** Healing that this plastic has between the layers of an ordinary printed bar, by the same model: what a card's strength across layers stands for. */
  readonly ordinaryHealing: number
  /** Heat brought by the nozzle beside the beads' own, share of the beads' enthalpy per layer: contact, gap air, radiation. */
  readonly nozzleContactShare: Float64Array
  readonly nozzleGapShare: Float64Array
  readonly nozzleRadiationShare: Float64Array
  /** Layers that were followed, first and last; others hold NaN. All of them unless a window was asked for. */
  readonly followed: readonly [number, number]
  /** Temperatures for windows of other runs; none from a window. */
  readonly states: HeatStates
  /** Cell updates made, for benchmarks. */
  readonly nUpdates: number
  /** One sentence for each assumption. */
  readonly assumed: readonly string[]
  /** What larger cells change, where that was asked (checkCells). */
  readonly cells?: CellCheck
}
