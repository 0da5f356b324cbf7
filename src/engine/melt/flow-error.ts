// What a wrong filament diameter does to the flow.

/** Relative error of the flow when the filament is thicker than told by `errorMm`: (1 + d/D)2 - 1. */
export const flowErrorOf = (errorMm: number, diameterMm: number): number => (1 + errorMm / diameterMm) ** 2 - 1
