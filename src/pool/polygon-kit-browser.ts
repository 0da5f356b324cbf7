// Loads the polygon library in a browser's worker and hands it to the engine.

import Module from 'manifold-3d'
import type { PolygonKit } from '../engine/kernel/index.ts'
import { polygonKit, type RegionLibrary } from '../engine/kernel/index.ts'

let loading: Promise<PolygonKit> | null = null

/**
 * The polygon library, loaded once per worker.
 * @param wasmUrl address of the library's wasm file, same origin
 */
export const loadPolygonKit = (wasmUrl: string): Promise<PolygonKit> => {
  loading ??= Module({ locateFile: () => wasmUrl }).then((library) => {
    library.setup()
    return polygonKit(library as unknown as RegionLibrary)
  })
  return loading
}
