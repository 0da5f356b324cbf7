// The mesh as the engine knows it: indexed triangles in typed arrays, and what is known of its health and mass.

/** Triangles over shared vertices. Positions are in file units in a sculpt, in mm in a figure. */
export interface Mesh {
  readonly kind: 'mesh'
  /** Vertex positions, xyz per vertex, length 3*nVertices. */
  readonly positions: Float64Array
  /** Corner vertices, three per triangle, counter-clockwise seen from outside, length 3*nTriangles. */
  readonly triangles: Uint32Array
  /** Shell (piece joined through shared edges) of each triangle, length nTriangles. */
  readonly shellOf: Uint32Array
  readonly nShells: number
}

/** Formats the readers know, told by content. */
export type MeshFormat = 'stl-binary' | 'stl-text' | 'obj' | 'ply' | 'off' | '3mf' | 'gltf' | 'glb'

/** Length units a file may be meant in; size of one in mm is in UNIT_MM. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'inch' | 'foot' | 'um'

/** A mesh as read from a file, before it is scaled and stood up. */
export interface Sculpt {
  readonly kind: 'sculpt'
  /** Name to show: the file's name without its ending, or a name inside the file. */
  readonly name: string
  readonly format: MeshFormat
  readonly mesh: Mesh
  /** Unit stated by the file itself, null where the format has none. */
  readonly statedUnit: LengthUnit | null
  readonly health: MeshHealth
  /** Hash of the file's bytes, hex: results are keyed by it. */
  readonly hash: string
}

/** What is wrong with the mesh, and what was mended while reading. Counts unless said otherwise. */
export interface MeshHealth {
  readonly nTriangles: number
  readonly nVertices: number
  readonly nShells: number
  /** Edges with a triangle on one side only. */
  readonly nOpenEdges: number
  /** Closed chains of open edges. */
  readonly nHoles: number
  /** Middle of every hole and its length round, file units in a sculpt, mm in a figure: x, y, z, length per hole. */
  readonly holes: Float64Array
  /** Edges shared by more than two triangles. */
  readonly nCrowdedEdges: number
  /** Triangles that stand twice. They are dropped. */
  readonly nDoubledTriangles: number
  /** Triangles with no area. They are dropped; a neighbour is split where dropping would open a seam. */
  readonly nFlatTriangles: number
  /** Shells, closed or with a small opening, that came inside out. They are turned, unless they are cavities. */
  readonly nInsideOutShells: number
  /** Triangles turned to agree with their neighbours. */
  readonly nTurnedTriangles: number
  /** Closed inner shells that bound an empty space. */
  readonly nCavities: number
  /** True when every triangle has a neighbour across each of its edges; crowded edges whose triangles pair up do not count against it. */
  readonly closed: boolean
}

/** Mass properties of the solid, taken at density 1 per unit volume. Units are those of the mesh (mm in a figure). */
export interface MassProperties {
  /** Volume, mm3; overlapping shells count twice here (see sections for the union). */
  readonly volume: number
  /** Surface area, mm2. */
  readonly area: number
  /** Centre of mass, mm, xyz. */
  readonly centre: readonly [number, number, number]
  /** Inertia about the centre at density 1, mm5: Ixx, Iyy, Izz, Ixy, Iyz, Izx (products with the sign of the integral of xy). */
  readonly inertia: readonly [number, number, number, number, number, number]
}
