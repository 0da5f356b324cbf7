// What the machine lays down: beads in laying order, with the travels between them. The same whether planned or read from a print file.

/** What a bead is for. The index is stored per bead. */
export const BEAD_ROLES = [
  'outer shell',
  'inner shell',
  'gap bead',
  'point deposit',
  'cap',
  'infill',
  'prop',
  'priming loop',
  'unknown',
] as const
export type BeadRole = (typeof BEAD_ROLES)[number]
/** Index of a role in BEAD_ROLES. */
export const roleIndex = (role: BeadRole): number => BEAD_ROLES.indexOf(role)

/** Beads in laying order. All lengths mm, speeds mm/s, volumes mm3. */
export interface BeadPlan {
  readonly kind: 'bead-plan'
  readonly nLayers: number
  /** Top of each layer = height of the nozzle while it is laid, length nLayers. */
  readonly layerTopZ: Float64Array
  readonly layerHeight: Float64Array
  /** Beads of layer i are layerStart[i] to layerStart[i+1]-1; length nLayers+1. */
  readonly layerStart: Uint32Array
  /** Part-cooling fan, 0-1, and set temperatures, deg C, per layer; NaN temperature where unknown. */
  readonly fanShare: Float32Array
  readonly nozzleC: Float32Array
  readonly bedC: Float32Array
  readonly nBeads: number
  /** Points of bead b are beadStart[b] to beadStart[b+1]-1; length nBeads+1. */
  readonly beadStart: Uint32Array
  /** xyz per point (z of the nozzle). A closed bead repeats its first point at the end; a point deposit has one point. */
  readonly points: Float64Array
  /** Bead width at each point, mm. */
  readonly pointWidth: Float32Array
  /** Index into BEAD_ROLES, per bead. */
  readonly role: Uint8Array
  readonly closed: Uint8Array
  /** Mean width, height, set speed (mm/s) per bead. */
  readonly width: Float32Array
  readonly height: Float32Array
  readonly speed: Float32Array
  /** Plastic pushed out for the bead, flow share included, mm3. */
  readonly volume: Float64Array
  /** Island of the layer stack, -1 where unknown. */
  readonly island: Int32Array
  /** The travel that ends at the bead's first point: points between the end of the bead before and that point, xyz, mostly none. */
  readonly travelStart: Uint32Array
  readonly travelPoints: Float64Array
  readonly travelSpeed: Float32Array
  /** Filament drawn back before the travel and pushed again after it, mm (0: none); its speed, mm/s; lift during it, mm. */
  readonly retraction: Float32Array
  readonly retractionSpeed: Float32Array
  readonly lift: Float32Array
  /** Time the nozzle waits before the bead, s. */
  readonly dwell: Float32Array
}
