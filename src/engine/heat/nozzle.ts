// Heat that the nozzle brings beside the plastic's own: into the bead under it, and through gap air into what stands beside the bead.
//
// Under the land the bead's top is held at the nozzle's temperature for as long as the trailing half of the land passes over it: closed form
// of a held surface. Round the bead the land's ring looks at plastic through air: conductivity of air over the gap (0.034 W/(m K) near
// 150 deg C), at least FLUSH_MM where the neighbour stands as high as the nozzle; radiation of the land is counted apart.

import { heldTopHeat } from './closed-forms.ts'
import type { HeatConditions } from './conditions.ts'
import { addHeat, type HeatField, layerOf } from './field.ts'
import type { Surroundings } from './surroundings.ts'

const AIR_W_PER_MM_K = 0.034e-3
/** Gap left where the nozzle slides over plastic of its own height, mm. No source. */
const FLUSH_MM = 0.05
/** Gaps beyond this count as open air, mm. */
const OPEN_MM = 1

/** Conductance of the gap over flush plastic, W/(mm2 K). */
export const GAP_W_PER_MM2_K = AIR_W_PER_MM_K / FLUSH_MM
/** Part of the land that is not over a bead of usual width, mm2. */
export const ringMm2 = (landMm: number): number =>
  Math.max(0, (Math.PI / 4) * landMm * landMm - landMm * Math.min(landMm, 0.4))

export interface NozzleHeat {
  contactJ: number
  gapJ: number
  radiationJ: number
}

/** What the nozzle does while it lays one landing. Returns the heat into the landing itself, J, and adds the rest to what is round it. */
export const nozzleOver = (
  field: HeatField,
  around: Surroundings,
  { printer }: HeatConditions,
  alpha: number,
  landing: { cell: number; volume: number; overS: number; speed: number; nozzleC: number; belowC: number },
  sums: NozzleHeat,
): number => {
  const { cell, volume, overS, speed, nozzleC, belowC } = landing
  const { nX, cellMm, layerMm, fill, celsius } = field
  const down = nX * field.nY
  const z = layerOf(field, cell)
  const h = layerMm[z]
  const land = printer.nozzleLandMm
  const bead = volume / h
  const passS = speed > 0 ? land / 2 / speed : overS
  const contact = bead * heldTopHeat(h, alpha, field.conductivity, passS) * (nozzleC - belowC)
  sums.contactJ += contact
  // It passes through the bead: the bead is not hotter than the nozzle, what is below gets it.
  const below = z > 0 && fill[cell - down] > 0 ? cell - down : -1
  if (below >= 0) addHeat(field, below, contact)
  // The ring of the land that is not over the bead, for the time of this landing.
  const ring = ringMm2(land)
  const reach = Math.max(1, Math.round((0.35 * land) / cellMm))
  const x = (cell - z * down) % nX
  const y = Math.floor((cell - z * down) / nX)
  for (let side = 0; side < 4; side++) {
    const aside = side % 2 === 0 ? reach : -reach
    // What lies beyond the rows is open air, not the next row.
    const along = side < 2 ? x + aside : y + aside
    if (along < 0 || along >= (side < 2 ? nX : field.nY)) continue
    const at = cell + aside * (side < 2 ? 1 : nX)
    let k = z
    let gap = FLUSH_MM
    while (k >= 0 && fill[at - (z - k) * down] === 0 && gap < OPEN_MM) gap += layerMm[k--]
    if (k < 0 || gap >= OPEN_MM) continue
    const i = at - (z - k) * down
    const over = nozzleC - celsius[i]
    if (over <= 0) continue
    // Never more than brings the cell to the nozzle's temperature.
    const area = (ring / 4) * overS
    const w = AIR_W_PER_MM_K / gap + around.tip
    const heat = field.capacity[i] * over * (1 - Math.exp((-area * w) / field.capacity[i]))
    addHeat(field, i, heat)
    sums.radiationJ += (heat * around.tip) / w
    sums.gapJ += heat * (1 - around.tip / w)
  }
  return below >= 0 ? 0 : contact
}
