// What a plan means for the section of every island: shells that fit, what is left for infill, what full infill would add.

/** Numbers per island of the layer stack, and per layer. Areas mm2. */
export interface PlanReport {
  readonly kind: 'plan-report'
  readonly nIslands: number
  readonly nLayers: number
  /** Layer of every island. */
  readonly islandLayer: Uint32Array
  readonly islandArea: Float64Array
  /** Closed shells that were really laid one inside the other, at the widest place of the island. */
  readonly shellsLaid: Uint8Array
  /** 1 where every place of the island has all the shells that were asked for (no gap bead took the place of one). */
  readonly allShellsFit: Uint8Array
  /** Area filled by shells, gap beads and deposits. */
  readonly shellArea: Float64Array
  readonly gapBeadArea: Float64Array
  /** Room that no bead fits and that stays empty. */
  readonly emptyArea: Float64Array
  readonly capArea: Float64Array
  /** Area given to infill; 0 where there is none at all. */
  readonly infillArea: Float64Array
  /** Share of the island's section that is shells and gap beads only: 1 - (cap + infill) / area. */
  readonly shellsOnlyShare: Float64Array
  /** What 100 % infill would add: plastic, g, and area that carries load, mm2. */
  readonly fullInfillAddsG: Float64Array
  readonly fullInfillAddsArea: Float64Array
  /** The same summed per layer. */
  readonly layerShellsOnlyShare: Float64Array
  readonly layerInfillArea: Float64Array
  readonly layerFullInfillAddsG: Float64Array
  readonly layerFullInfillAddsArea: Float64Array
  /** Leftover points that were left empty: layer, x, y, area per point. */
  readonly emptyPoints: Float64Array
  /** Plastic of the whole plan, priming loops included, mm3 and g. */
  readonly volumeMm3: number
  readonly massG: number
  /** Layers without any infill, and their share. */
  readonly nLayersWithoutInfill: number
}

/** The arrays while the plan is made. */
export interface ReportDraft {
  readonly islandLayer: Uint32Array
  readonly islandArea: Float64Array
  readonly shellsLaid: Uint8Array
  readonly allShellsFit: Uint8Array
  readonly shellArea: Float64Array
  readonly gapBeadArea: Float64Array
  readonly emptyArea: Float64Array
  readonly capArea: Float64Array
  readonly infillArea: Float64Array
  readonly emptyPoints: number[]
}

export const reportDraft = (nIslands: number, islandArea: Float64Array): ReportDraft => ({
  islandLayer: new Uint32Array(nIslands),
  islandArea,
  shellsLaid: new Uint8Array(nIslands),
  allShellsFit: new Uint8Array(nIslands).fill(1),
  shellArea: new Float64Array(nIslands),
  gapBeadArea: new Float64Array(nIslands),
  emptyArea: new Float64Array(nIslands),
  capArea: new Float64Array(nIslands),
  infillArea: new Float64Array(nIslands),
  emptyPoints: [],
})

/** Fills in what follows from the measured areas. */
export const finishReport = (
  draft: ReportDraft,
  faceZ: Float64Array,
  infillShare: number,
  densityGPerCm3: number,
  volumeMm3: number,
): PlanReport => {
  const nIslands = draft.islandArea.length
  const nLayers = faceZ.length - 1
  const shellsOnlyShare = new Float64Array(nIslands)
  const fullInfillAddsG = new Float64Array(nIslands)
  const fullInfillAddsArea = new Float64Array(nIslands)
  const layerArea = new Float64Array(nLayers)
  const layerInside = new Float64Array(nLayers)
  const layerInfillArea = new Float64Array(nLayers)
  const layerFullInfillAddsG = new Float64Array(nLayers)
  const layerFullInfillAddsArea = new Float64Array(nLayers)
  for (let i = 0; i < nIslands; i++) {
    const layer = draft.islandLayer[i]
    const inside = draft.capArea[i] + draft.infillArea[i]
    shellsOnlyShare[i] = draft.islandArea[i] > 0 ? Math.max(0, 1 - inside / draft.islandArea[i]) : 1
    fullInfillAddsArea[i] = Math.max(0, 1 - infillShare) * draft.infillArea[i]
    fullInfillAddsG[i] = (fullInfillAddsArea[i] * (faceZ[layer + 1] - faceZ[layer]) * densityGPerCm3) / 1000
    layerArea[layer] += draft.islandArea[i]
    layerInside[layer] += inside
    layerInfillArea[layer] += draft.infillArea[i]
    layerFullInfillAddsG[layer] += fullInfillAddsG[i]
    layerFullInfillAddsArea[layer] += fullInfillAddsArea[i]
  }
  return {
    kind: 'plan-report',
    nIslands,
    nLayers,
    islandLayer: draft.islandLayer,
    islandArea: draft.islandArea,
    shellsLaid: draft.shellsLaid,
    allShellsFit: draft.allShellsFit,
    shellArea: draft.shellArea,
    gapBeadArea: draft.gapBeadArea,
    emptyArea: draft.emptyArea,
    capArea: draft.capArea,
    infillArea: draft.infillArea,
    shellsOnlyShare,
    fullInfillAddsG,
    fullInfillAddsArea,
    layerShellsOnlyShare: layerArea.map((a, i) => (a > 0 ? Math.max(0, 1 - layerInside[i] / a) : 1)),
    layerInfillArea,
    layerFullInfillAddsG,
    layerFullInfillAddsArea,
    emptyPoints: Float64Array.from(draft.emptyPoints),
    volumeMm3,
    massG: (volumeMm3 * densityGPerCm3) / 1000,
    nLayersWithoutInfill: layerInfillArea.reduce((n, a) => n + (a > 0 ? 0 : 1), 0),
  }
}
