// How it will look, as numbers of the sheet's data: no mesh, no rows of single beads.

import type { Examination } from '../engine/examine/index.ts'

const most = (values: Float64Array): number => values.reduce((a, b) => (b > a ? b : a), 0)

/** Steps, undersides, props, shape, bead starts; null where the surface was not looked at. */
export const surfaceFacts = ({ surface }: Examination): object | null => {
  if (!surface) return null
  const { regions, steps, hanging, props, lost, shrink, starts, leftOut } = surface
  return {
    face: regions.face,
    viewing: steps.viewing,
    layerChoices: steps.choices,
    varyingHeight: steps.varying,
    undersides: {
      mostSagMm: most(hanging.layerSagMm),
      setS: hanging.setS,
      cooling: hanging.cooling,
      layerFooting: hanging.layerFooting,
    },
    props,
    lost,
    shrink,
    starts: {
      n: starts.nStarts,
      bare: starts.nBare,
      bareInFront: starts.nBareInFront,
      bareOnFace: starts.nBareOnFace,
    },
    leftOut,
  }
}
