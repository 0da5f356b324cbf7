// Loads the polygon library under Node and hands it to the engine.

import Module from 'manifold-3d'
import type { PolygonKit } from '../engine/kernel/index.ts'
import { polygonKit, type RegionLibrary } from '../engine/kernel/index.ts'

let loading: Promise<PolygonKit> | null = null

/** The polygon library, loaded once per process or worker. */
export const loadPolygonKit = (): Promise<PolygonKit> => {
  loading ??= Module().then((library) => {
    library.setup()
    return polygonKit(library as unknown as RegionLibrary)
  })
  return loading
}
