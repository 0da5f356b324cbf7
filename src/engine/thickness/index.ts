// Local thickness on outlines and on the mesh, how many shells fit, and what vanishes.
export { findVanishing, type VanishingOptions } from './find-vanishing.ts'
export { beadsAcross, coreWithin, fitShells, type ShellFitOptions, shellPitch } from './fit-shells.ts'
export { measureOutlines, OUTLINE_THICKNESS_DEFAULTS, type OutlineThicknessOptions } from './measure-outlines.ts'
export { measureSurface, SURFACE_THICKNESS_DEFAULTS, type SurfaceThicknessOptions } from './measure-surface.ts'
export { THIN_PLACE_DEFAULTS, type ThinPlaceOptions, thinnestOver } from './thinnest-over.ts'
export type * from './types.ts'
