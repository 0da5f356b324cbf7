// Who lies across each edge of a mesh.

import { pairEdges } from './edge-pairs.ts'
import type { Mesh } from './types.ts'

/**
 * The half-edge across each half-edge, length 3*nTriangles. Half-edge 3*t+e runs from corner e of triangle t to corner e+1 (mod 3);
 * the one across, 3*u+f, runs the other way along the same edge. -1 where the edge is open, or where no partner of opposite
 * way is left at a crowded edge. Crowded edges are paired by angle, so that closed surfaces that touch stay closed.
 */
export const edgeNeighbours = (mesh: Pick<Mesh, 'positions' | 'triangles'>): Int32Array =>
  pairEdges(mesh.positions, mesh.triangles).neighbours
