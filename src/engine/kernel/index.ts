// Small shared parts of the engine. Imports nothing.
export * from './nearest-on-triangles.ts'
export * from './outcome.ts'
export * from './plane-region.ts'
export * from './polygon-kit.ts'
export * from './polygons.ts'
export * from './segment-grid.ts'
export * from './task.ts'
export * from './triangle-tree.ts'
