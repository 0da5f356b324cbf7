// Sections: the figure cut into layers. Question: what is each layer made of, and what does it rest on?
// Model: plane cuts at the layers' middles, region of positive winding number, exact distances to the layer below.
// Sources: Minetto et al. 2017 for the cut; Danielsson 1980 for the spread of distances. Limits: see the options of each step.
export { CUT_LIMITS, countPieces } from './count-pieces.ts'
export { type CutHeights, cutHeights } from './cut-heights.ts'
export { CUT_DEFAULTS, type CutOptions, cutLayers } from './cut-layers.ts'
export { layerArea } from './layer-area.ts'
export { isInsideLoop } from './nest-loops.ts'
export { islandPolygons, layerPolygons, RELATE_DEFAULTS, type RelateOptions, relateLayers } from './relate-layers.ts'
export { loopAreaOf, type SimplifyRoom, simplifyLoop } from './simplify-loop.ts'
export { type RawLoops, traceLoops } from './trace-loops.ts'
export * from './types.ts'
