// Question answered: what is still soft when the next bead lands, how deep does each pass soften again, how well do layers heal, and how
// long should a layer take?
//
// Model: enthalpy of cells that arrive bead by bead, conduction, convection by width of the part (Churchill-Bernstein, Churchill-Chu),
// radiation, contact with the bed, heat from the nozzle. A quick layer model beside it, piece by piece. Healing by Wool & O'Connor.
// Limits: one cell a layer; air flows evenly across every part; no fusion heat; neighbours on the bed only count as time.

export { convectionWPerM2K, radiationWPerM2K } from './air.ts'
export { cellsThatFit } from './cells-that-fit.ts'
export { cellWords, checkCells } from './check-cells.ts'
export { growingColumnLeastS } from './closed-forms.ts'
export { computeHeat } from './compute-heat.ts'
export { AIR_RANGE, HEAT_DEFAULTS, type HeatConditions, type HeatOptions } from './conditions.ts'
export { quickHeat } from './quick-heat.ts'
export type {
  BeadHeat,
  CellCheck,
  EnergyBalance,
  HeatGrid,
  HeatResult,
  HeatStates,
  HeatWindow,
  LayerHeat,
  QuickHeat,
} from './types.ts'
