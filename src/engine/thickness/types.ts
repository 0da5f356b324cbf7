// Local thickness on outlines and on the mesh, how many shells fit, and what vanishes.

/** Local thickness at points along every outline: the largest inscribed circle that contains the point. */
export interface OutlineThickness {
  readonly kind: 'outline-thickness'
  /** Samples of loop j are sampleStart[j] to sampleStart[j+1]-1; length nLoops+1. */
  readonly sampleStart: Uint32Array
  /** xy per sample, mm. */
  readonly samples: Float64Array
  /** Diameter of that circle, mm, per sample. */
  readonly thickness: Float32Array
  /** Angle between the two contacts seen from the circle's middle, radians; near pi between facing walls, small in a convex corner. */
  readonly facing: Float32Array
  /** Thinnest place between facing walls in each island, mm, and its xy; NaN when there is none. Lengths nIslands, 2*nIslands. */
  readonly islandThinnest: Float64Array
  readonly islandThinnestAt: Float64Array
  /** Widest circle of each island, mm. */
  readonly islandWidest: Float64Array
}

/** How many shells fit, per island, at the thinnest place and at the widest. */
export interface ShellFit {
  readonly kind: 'shell-fit'
  readonly beadWidthMm: number
  /** Distance between two shells, mm: w - h(1 - pi/4), per layer (the first layer is thicker). */
  readonly pitch: Float64Array
  /** Closed shells that fit at the island's thinnest and widest place with that pitch, length nIslands. */
  readonly atThinnest: Float32Array
  readonly atWidest: Float32Array
  /** The same counted side by side (pitch = w). */
  readonly atThinnestSideBySide: Float32Array
  readonly atWidestSideBySide: Float32Array
  /** Width left in the middle at the thinnest place after those shells, mm. */
  readonly coreAtThinnest: Float64Array
}

/** One thing lost because it is narrower than a bead, followed over the layers in which it is lost. */
export interface VanishingDetail {
  readonly fromLayer: number
  readonly toLayer: number
  /** Middle of it, mm. */
  readonly at: readonly [number, number, number]
  /** Greatest length of a lost piece in the plane, mm. */
  readonly lengthMm: number
  /** Width of the widest circle inside it, mm. */
  readonly widthMm: number
  /** Volume lost, mm3. */
  readonly volumeMm3: number
  /** "island" when a whole island is lost, "tip" when it hangs on by one end, "neck" when it joins two parts that stay. */
  readonly kind: 'island' | 'tip' | 'neck'
}

/** Thickness in space at points of the mesh: the largest inscribed sphere that contains the point. */
export interface SurfaceThickness {
  readonly kind: 'surface-thickness'
  /** Diameter of that sphere, mm, per vertex of the figure's mesh (spread from the nearest samples); NaN where the surface is buried. */
  readonly perVertex: Float32Array
  /** Samples it was computed at, xyz per sample, and their diameters. */
  readonly samples: Float32Array
  readonly thickness: Float32Array
  readonly facing: Float32Array
}
