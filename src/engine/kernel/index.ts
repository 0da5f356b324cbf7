// Small shared parts of the engine. Imports nothing.
export * from './outcome.ts'
export * from './polygon-kit.ts'
export * from './polygons.ts'
export * from './task.ts'
