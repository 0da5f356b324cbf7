// Reads mesh files and makes sound meshes of them: weld, orient, health, mass.
// Question answered: what solid is in this file, and what is wrong with it. Limits: triangles only; curved formats are not read.
export { edgeNeighbours } from './edge-neighbours.ts'
export { facetNormal } from './facet-normal.ts'
export { massOf } from './mass-of.ts'
export { type PreparedMesh, prepareMesh } from './prepare-mesh.ts'
export { READ_LIMITS, type ReadLimits } from './read-limits.ts'
export { type ReadOptions, readSculpt } from './read-sculpt.ts'
export { type Affine, transformMesh } from './transform-mesh.ts'
export * from './types.ts'
export { UNIT_MM } from './units.ts'
export { writePly } from './write-ply.ts'
export { writeStl } from './write-stl.ts'
