// The temperature field: layers of rows of cells, with an empty border all round in the plane.
//
// Cell (x, y) of layer z has index (z * nY + y) * nX + x. An empty cell has fill 0: no heat passes it, so that no neighbour
// needs to be asked for. Between two cells heat passes through the smaller of their two fills.

import { type EnthalpyTable, enthalpyAt } from './plastic.ts'
import type { StepKernels } from './step-kernels.ts'

export interface HeatField {
  readonly nX: number
  readonly nY: number
  readonly nZ: number
  readonly cellMm: number
  /** Height of each layer, mm. */
  readonly layerMm: Float64Array
  readonly table: EnthalpyTable
  /** g/mm3; W/(mm K). */
  readonly density: number
  readonly conductivity: number
  /** Least cp of the table, J/(g K). */
  readonly leastHeatCapacity: number
  /** Temperature being worked on, and at the last whole step, deg C. */
  readonly work: Float32Array
  readonly celsius: Float32Array
  /** Specific enthalpy, J/g. */
  readonly enthalpy: Float64Array
  /** Plastic in the cell, share of its room, and what it takes to warm it, J/K (1 when empty, so that nothing is divided by 0). */
  readonly fill: Float32Array
  readonly capacity: Float32Array
  /** Loss to the air, W/K: convection and radiation together; and the part of it that is radiation. */
  readonly loss: Float32Array
  readonly radiation: Float32Array
  /** Conductance upwards from each layer and sideways within each layer, W/K, for full cells. */
  readonly upwards: Float64Array
  readonly sideways: Float64Array
  airC: number
  bedC: number
  /** From the middle of a full cell of the first layer to the bed, W/K; 0 for no bed. */
  bedW: number
  /** Loops in WebAssembly, which then hold the arrays; null for those of step-field.ts alone. */
  readonly kernels: StepKernels | null
  /** Sums, J. */
  readonly sums: { convectedJ: number; radiatedJ: number; bedJ: number; nUpdates: number }
}

export interface FieldShape {
  /** Columns without the empty border. */
  readonly nX: number
  readonly nY: number
  readonly cellMm: number
  readonly layerMm: ArrayLike<number>
  readonly densityGPerCm3: number
  readonly conductivityWPerMK: number
  readonly table: EnthalpyTable
  readonly airC: number
}

/** An empty field. */
export const createField = (shape: FieldShape, kernels: StepKernels | null = null): HeatField => {
  const nX = shape.nX + 2
  const nY = shape.nY + 2
  const nZ = shape.layerMm.length
  const n = nX * nY * nZ
  const layerMm = Float64Array.from(shape.layerMm)
  const conductivity = shape.conductivityWPerMK * 1e-3
  const { cellMm, airC } = shape
  const upwards = new Float64Array(nZ)
  for (let z = 0; z + 1 < nZ; z++) upwards[z] = (conductivity * cellMm * cellMm * 2) / (layerMm[z] + layerMm[z + 1])
  return {
    nX,
    nY,
    nZ,
    cellMm,
    layerMm,
    table: shape.table,
    density: shape.densityGPerCm3 * 1e-3,
    conductivity,
    leastHeatCapacity: shape.table.heatCapacity.reduce((a, b) => Math.min(a, b)),
    work: (kernels?.work ?? new Float32Array(n)).fill(airC),
    celsius: (kernels?.celsius ?? new Float32Array(n)).fill(airC),
    enthalpy: (kernels?.enthalpy ?? new Float64Array(n)).fill(enthalpyAt(shape.table, airC)),
    fill: kernels?.fill ?? new Float32Array(n),
    capacity: (kernels?.capacity ?? new Float32Array(n)).fill(1),
    loss: kernels?.loss ?? new Float32Array(n),
    radiation: kernels?.radiation ?? new Float32Array(n),
    kernels,
    upwards,
    sideways: layerMm.map((h) => conductivity * h),
    airC,
    bedC: airC,
    bedW: 0,
    sums: { convectedJ: 0, radiatedJ: 0, bedJ: 0, nUpdates: 0 },
  }
}

/** Index of a cell; x and y count without the border. */
export const cellAt = (field: HeatField, x: number, y: number, z: number): number =>
  (z * field.nY + y + 1) * field.nX + x + 1

/** Layer of a cell. */
export const layerOf = (field: HeatField, cell: number): number => Math.floor(cell / (field.nX * field.nY))

/** Room of a full cell of a layer, mm3. */
export const cellRoom = (field: HeatField, z: number): number => field.cellMm * field.cellMm * field.layerMm[z]

/** Puts plastic into a cell: what is there already is mixed with it. @param volume mm3 @param jPerG its specific enthalpy */
export const addPlastic = (field: HeatField, cell: number, volume: number, jPerG: number): void => {
  const z = layerOf(field, cell)
  const room = cellRoom(field, z)
  const before = field.fill[cell] * room
  const after = before + volume
  field.fill[cell] = after / room
  // The stored fill is single precision: what was rounded away is spread over the cell, so that energy is kept.
  const kept = field.fill[cell] * room
  setEnthalpy(field, cell, z, (field.enthalpy[cell] * before + jPerG * volume) / kept)
}

/** Adds heat to a cell, J. */
export const addHeat = (field: HeatField, cell: number, joules: number): void =>
  warm(field, cell, layerOf(field, cell), joules)

/** The same for a cell whose layer is known. */
export const warm = (field: HeatField, cell: number, z: number, joules: number): void =>
  setEnthalpy(
    field,
    cell,
    z,
    field.enthalpy[cell] + joules / (field.fill[cell] * field.cellMm * field.cellMm * field.layerMm[z] * field.density),
  )

const setEnthalpy = (field: HeatField, cell: number, z: number, jPerG: number): void => {
  const { table, cellMm, layerMm, density, fill } = field
  const x = jPerG * table.perStep
  const i = x <= 0 ? 0 : x >= table.nPieces ? table.nPieces - 1 : x | 0
  const cp = table.heatCapacity[i]
  const t = table.celsius[i] + ((x - i) * table.stepJPerG) / cp
  field.enthalpy[cell] = jPerG
  field.celsius[cell] = t
  field.work[cell] = t
  field.capacity[cell] = fill[cell] * cellMm * cellMm * layerMm[z] * density * cp
}

/** Heat in the field above a temperature, J. */
export const storedJ = (field: HeatField, fromC: number): number => {
  const { fill, enthalpy, density } = field
  const zero = enthalpyAt(field.table, fromC)
  let sum = 0
  for (let i = 0; i < fill.length; i++)
    if (fill[i] > 0) sum += fill[i] * cellRoom(field, layerOf(field, i)) * density * (enthalpy[i] - zero)
  return sum
}
