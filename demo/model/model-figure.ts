// Models one of the crew and hands back its triangles.

import type { ManifoldToplevel } from 'manifold-3d'
import { ferryDog } from './ferry-dog.ts'
import { keeper } from './keeper.ts'
import { lamplighter } from './lamplighter.ts'
import { passenger } from './passenger.ts'
import { benchOf } from './solids.ts'
import type { Triangles } from './triangles.ts'
import { trianglesOf } from './triangles.ts'

/** Raise it whenever a change alters the figures: the built files are keyed by it. */
export const MODEL_VERSION = 'night-ferry-2'

/** Names of the figures that can be modelled. */
export type FigureId = 'keeper' | 'lamplighter' | 'passenger' | 'ferry-dog'

/**
 * Models a figure, in mm, standing on z = 0, +z up, facing -y. The same every time.
 * What the library makes on the way lives as long as the instance: load one for the modelling and drop it.
 */
export const modelFigure = (id: FigureId, library: ManifoldToplevel): Triangles => {
  const bench = benchOf(library)
  switch (id) {
    case 'keeper':
      return trianglesOf([keeper(bench)])
    case 'lamplighter':
      return lamplighter(bench)
    case 'passenger':
      return trianglesOf(passenger(bench))
    case 'ferry-dog':
      return trianglesOf([ferryDog(bench)])
  }
}
