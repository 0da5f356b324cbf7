// Question answered: what does a print file lay down, and what in it was not understood?
// Model: RS-274 / ISO 6983 words with a filament axis; beads are stretches that push filament while moving; sections are stadiums;
// roles follow from nesting, neighbours and widths, and from the figure's outlines where they are known.
// Sources: NIST IR 6556 for grammar, groups, order and arcs; the unit of dwells and the scale of fan words by evidence, and stated.
// Limits: no parameters, expressions, probing or canned cycles; one filament; retraction made by the machine's own words is listed only.
export { type Certainty, type InferOptions, type InferredBeads, inferBeads } from './infer-beads.ts'
export type { Placement } from './place-figure.ts'
export { type CodeReader, createCodeReader, readCode } from './read-code.ts'
export * from './types.ts'
export { type CodePause, type WriteOptions, writeCode } from './write-code.ts'
