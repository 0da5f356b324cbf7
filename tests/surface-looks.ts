// A look at a surface on which nothing hangs, shrinks or curls, for tests of the predicted solid.

import type { SurfaceLook } from '../src/engine/surface/index.ts'

const none = new Float64Array(0)

/** Nothing at all is the matter with it. */
export const PLAIN_LOOK: SurfaceLook = {
  kind: 'surface-look',
  regions: { ofTriangle: new Uint8Array(0), face: null },
  steps: {
    vertexUm: new Float32Array(0),
    layerUm: none,
    layerShownMm2: none,
    choices: [],
    varying: { nLayers: 0, minutes: 0, fromMm: 0.05, toMm: 0.12 },
    viewing: '',
  },
  hanging: {
    layerFooting: none,
    layerHangingMm: none,
    layerSagMm: none,
    runs: none,
    nRuns: 0,
    runStart: new Uint32Array(1),
    runPoints: new Float32Array(0),
    fluidS: 0,
    setS: 0,
    cooling: 'single bead in the fan',
    coolerShare: 1,
    fullFanShare: 1,
  },
  props: { places: [], nProps: 0, contactMm2: 0, volumeMm3: 0, pitchMm: 4 },
  lost: {
    nVanished: 0,
    vanishedMm3: 0,
    edgeMm: 0,
    edgeAt: [0, 0, 0],
    nEdges: 0,
    edgesMm3: 0,
    squeezeMm: 0,
  },
  shrink: {
    shrinkShare: 0,
    heightMm: 0,
    widthMm: 0,
    rimRiseMm: 0,
    blockHeightMm: 3,
    blockLengthMm: 25,
    stressedDepthMm: 2,
    worstHeightMm: 3,
    worstRiseMm: 0,
  },
  starts: {
    starts: none,
    nStarts: 0,
    nBare: 0,
    nBareInFront: 0,
    nBareOnFace: 0,
    leastAt: none,
    leastBare: none,
  },
  vertexDeviationMm: new Float32Array(0),
  leftOut: [],
}
