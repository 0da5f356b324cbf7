// What the surface room hands out: steps, undersides, sag, props, lost shape, shrinkage and curl, bead starts.

/** Parts of the surface that are summed apart. The index is stored per triangle. */
export const SURFACE_REGIONS = [
  'face',
  'cloak and all else',
  'base top',
  'base side',
  'underside',
  'on the bed',
] as const
export type SurfaceRegion = (typeof SURFACE_REGIONS)[number]

/** Which triangle belongs to which region. */
export interface SurfaceRegions {
  /** Index into SURFACE_REGIONS per triangle. */
  readonly ofTriangle: Uint8Array
  /** Height range of the face, mm, and how it was found; null when the figure does not stand upright or has no head at its eye line. */
  readonly face: {
    readonly fromMm: number
    readonly toMm: number
    /** Box of the head in plan, mm: x0, y0, x1, y1. */
    readonly box: readonly [number, number, number, number]
    readonly reason: string
  } | null
}

/** Steps of one region at one layer height. */
export interface RegionSteps {
  readonly region: SurfaceRegion
  readonly areaMm2: number
  /** Cusp height t |cos theta|, um: mean over the area, and what nine tenths of the area stay below. */
  readonly meanUm: number
  readonly mostUm: number
  /** Roughness Ra of the stairs with half-round bead sides, um, mean over the area. */
  readonly raUm: number
  /** Share of the area whose steps lie far enough apart to be told one from the other at the viewing distance, 0-1. */
  readonly shownShare: number
}

/** What one layer height gives and takes. */
export interface LayerChoice {
  readonly layerHeightMm: number
  readonly nLayers: number
  /** Minutes of printing, by number of layers at the time each layer takes now; NaN without times. */
  readonly minutes: number
  readonly regions: readonly RegionSteps[]
}

/** A height that changes over the figure, held against one constant height. */
export interface VaryingHeight {
  /** Layers and minutes if every height took the thickest layer that keeps its steps within those of the constant one. */
  readonly nLayers: number
  readonly minutes: number
  /** Range that heights were allowed, mm. */
  readonly fromMm: number
  readonly toMm: number
}

export interface SurfaceSteps {
  /** Cusp height per vertex of the figure's mesh, um. */
  readonly vertexUm: Float32Array
  /** Mean cusp height of the surface in each layer, um; NaN where there is none. */
  readonly layerUm: Float64Array
  /** Surface whose steps show at the viewing distance, mm2 per layer; undersides are left out, nobody looks at them. */
  readonly layerShownMm2: Float64Array
  /** The recipe's own height first, then others. */
  readonly choices: readonly LayerChoice[]
  readonly varying: VaryingHeight
  /** Assumption about who looks from where, with source. */
  readonly viewing: string
}

/** Columns of one row of Hanging.runs: a stretch of bead with less than half of its width on plastic. */
export const RUN_ROW = {
  layer: 0,
  bead: 1,
  /** Middle of the stretch, mm. */
  x: 2,
  y: 3,
  lengthMm: 4,
  /** Greatest distance of the bead's middle line from what carries it, mm. */
  reachMm: 5,
  /** Ends that lie on plastic: 0, 1 or 2. */
  holds: 6,
  /** 1 when a bead of the same layer was laid alongside before and holds it by its side. */
  besides: 7,
  /** How far it sinks while soft, mm; NaN when nothing holds it. */
  sagMm: 8,
} as const
/** Number of columns of a run row. */
export const RUN_COLUMNS = 9

/** Beads over air. */
export interface Hanging {
  /** Least share of a bead's width that lies on the layer below, 0-1, per layer; NaN on the bed. */
  readonly layerFooting: Float64Array
  /** Length of beads with less than half of their width on plastic, mm, per layer. */
  readonly layerHangingMm: Float64Array
  /** Greatest sag, mm, per layer; 0 where nothing hangs. */
  readonly layerSagMm: Float64Array
  /** Rows of RUN_COLUMNS, in laying order. */
  readonly runs: Float64Array
  readonly nRuns: number
  /** Points along run r are runStart[r] to runStart[r+1]-1: x, y, droop in mm (0 where nothing holds the run), length 3*nPoints. */
  readonly runStart: Uint32Array
  readonly runPoints: Float32Array
  /** Seconds at the reference viscosity that equal the time the bead takes to set, and how they were found. */
  readonly fluidS: number
  readonly setS: number
  readonly cooling: 'from heat' | 'single bead in the fan'
  /** Share of the sag that is left with the nozzle 10 deg C cooler, and with the fan full, 0-1. */
  readonly coolerShare: number
  readonly fullFanShare: number
}

/** One place that needs props. */
export interface PropPlace {
  readonly why: 'starts in mid air' | 'hangs out' | 'spans'
  readonly layer: number
  /** Middle of the underside, mm. */
  readonly at: readonly [number, number, number]
  /** Underside that must be carried, mm2. */
  readonly areaMm2: number
  readonly nProps: number
  /** Touching area that leaves marks, mm2. */
  readonly contactMm2: number
  /** Height of the props, mm, and their plastic, mm3. */
  readonly heightMm: number
  readonly volumeMm3: number
  /** True when they stand on the figure and mark it at both ends. */
  readonly onFigure: boolean
}

export interface PropNeed {
  readonly places: readonly PropPlace[]
  readonly nProps: number
  readonly contactMm2: number
  readonly volumeMm3: number
  /** Distance between props, mm: the longest stretch that sags less than half a layer, within bounds. */
  readonly pitchMm: number
}

/** What beads and plastic cannot hold of the shape. */
export interface ShapeLost {
  /** Details narrower than a bead: number and volume, mm3. */
  readonly nVanished: number
  readonly vanishedMm3: number
  /** Upright edges rounded by the bead: greatest loss, mm, where, number that lose over 0.02 mm, volume of all, mm3. */
  readonly edgeMm: number
  readonly edgeAt: readonly [number, number, number]
  readonly nEdges: number
  readonly edgesMm3: number
  /** How far the first layer comes out sideways when the nozzle stands 0.05 mm too low, mm. */
  readonly squeezeMm: number
}

export interface ShrinkAndCurl {
  /** Share by which the plastic shrinks from its glass transition to room temperature. */
  readonly shrinkShare: number
  /** What that is on the height and on the base's width, mm. */
  readonly heightMm: number
  readonly widthMm: number
  /** Rise of the base's rim once it is off the bed, mm: block of its height, stress kept in the uppermost depth. */
  readonly rimRiseMm: number
  readonly blockHeightMm: number
  readonly blockLengthMm: number
  readonly stressedDepthMm: number
  /** The height at which a block of that length would curl most, and that rise, mm. */
  readonly worstHeightMm: number
  readonly worstRiseMm: number
}

/** Columns of one row of BeadStarts.starts. */
export const START_ROW = {
  layer: 0,
  bead: 1,
  x: 2,
  y: 3,
  z: 4,
  /** How much of the mark is seen, 0 (in a fold) to 1 (bare), whichever side it is on. */
  bareShare: 5,
  /** 1 where it faces the front. */
  front: 6,
  /** 1 on the face. */
  face: 7,
} as const
export const START_COLUMNS = 8

export interface BeadStarts {
  readonly starts: Float64Array
  readonly nStarts: number
  readonly nBare: number
  readonly nBareInFront: number
  readonly nBareOnFace: number
  /** Where the layer's largest outline shows a start least: xy per layer, mm, and how bare it is there; NaN where there is no outline. */
  readonly leastAt: Float64Array
  readonly leastBare: Float64Array
}

export interface SurfaceLook {
  readonly kind: 'surface-look'
  readonly regions: SurfaceRegions
  readonly steps: SurfaceSteps
  readonly hanging: Hanging
  readonly props: PropNeed
  readonly lost: ShapeLost
  readonly shrink: ShrinkAndCurl
  readonly starts: BeadStarts
  /** Printed surface against the sculpt per vertex of the figure's mesh, mm, positive where plastic stands proud; without shrinkage and curl; NaN where buried. */
  readonly vertexDeviationMm: Float32Array
  /** Terms that are left out of the sum because their room had no result, one sentence each. */
  readonly leftOut: readonly string[]
}
