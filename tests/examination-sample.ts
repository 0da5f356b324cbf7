// A small hand-made examination for tests of sheets and terminal output: a square pillar that narrows, with two findings.

import type { Examination } from '../src/engine/examine/index.ts'
import type { Finding } from '../src/engine/findings/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'

const N_LAYERS = 30
const LAYER = 1

/** Half width of the pillar at a layer, mm. */
const halfWidth = (layer: number): number => 6 - layer * 0.19

const finding = (over: Partial<Finding>): Finding => ({
  id: 'thin-wall@250:0,0',
  rule: 'thin-wall',
  severity: 'breaks',
  title: 'The tip is thinner than two beads',
  place: { fromMm: 25, toMm: 29, point: [0, 0, 27], areaMm2: 1.2, fromLayer: 25, toLayer: 28 },
  evidence: [{ label: 'thinnest place', value: 0.62, unit: 'mm', limit: 0.8 }],
  certainty: { share: 0.9, cause: 'outlines are exact to 5 µm' },
  why: 'The largest circle inside the outline is 0.62 mm wide; two beads need 0.8 mm.',
  remedies: [
    {
      id: 'scale-32',
      label: 'Print at 32 mm to the eye',
      change: { what: 'soleToEyeMm', from: 28, to: 32 },
      effect: {
        resolves: false,
        label: 'thinnest place',
        before: 0.62,
        after: 0.71,
        unit: 'mm',
        brings: [],
      },
    },
    { id: 'thicken', label: 'Thicken by 0.2 mm', change: { what: 'thickenMm', from: 0, to: 0.2 }, effect: null },
  ],
  ...over,
})

const squareLoops = () => {
  const points = new Float64Array(N_LAYERS * 8)
  const loopArea = new Float64Array(N_LAYERS)
  for (let i = 0; i < N_LAYERS; i++) {
    const r = halfWidth(i)
    points.set([-r, -r, r, -r, r, r, -r, r], 8 * i)
    loopArea[i] = 4 * r * r
  }
  return { points, loopArea }
}

const counting = (n: number) => Uint32Array.from({ length: n }, (_, i) => i)

/** The sample, with texts that would do harm in HTML when they are not escaped. */
export const sampleExamination = (name = 'Pillar <b>&"one"</b>'): Examination => {
  const { points, loopArea } = squareLoops()
  const faceZ = Float64Array.from({ length: N_LAYERS + 1 }, (_, i) => i * LAYER)
  const nothing = new Float64Array(N_LAYERS)
  const health = {
    nTriangles: 12,
    nVertices: 8,
    nShells: 1,
    nOpenEdges: 0,
    nHoles: 0,
    holes: new Float64Array(0),
    nCrowdedEdges: 0,
    nDoubledTriangles: 0,
    nFlatTriangles: 0,
    nInsideOutShells: 0,
    nTurnedTriangles: 0,
    nCavities: 0,
    closed: true,
  }
  return {
    kind: 'examination',
    settings: {
      scale: { by: 'scale-height', soleToEyeMm: 28 },
      unit: null,
      stance: { kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: Math.PI / 6 },
      eyeLineMm: null,
      layerHeightMm: LAYER,
      firstLayerHeightMm: LAYER,
      beadWidthMm: 0.4,
      leastBeadWidthMm: 0.2,
      nShells: 3,
      nTogether: 1,
      thickenMm: 0,
      recipe: STARTING_RECIPE,
      printer: STARTING_PRINTER,
      filament: STARTING_FILAMENT,
    },
    summary: {
      name,
      soleToEyeMm: 28,
      totalHeightMm: 30,
      volumeMm3: 1450.27,
      nLayers: N_LAYERS,
      massG: null,
      printS: null,
      steps: null,
      verdict: 'One place will fail <script>alert(1)</script>; the rest comes out.',
      assumed: ['The file is in millimetres.', 'The eye line is at 28 mm.'],
    },
    figure: {
      kind: 'figure',
      name,
      mesh: {
        kind: 'mesh',
        positions: new Float64Array(0),
        triangles: new Uint32Array(0),
        shellOf: new Uint32Array(0),
        nShells: 1,
      },
      health,
      mass: { volume: 1450.27, area: 900, centre: [0, 0, 12], inertia: [1, 1, 1, 0, 0, 0] },
      scale: { value: 1, basis: 'guessed', reason: 'The file fits in millimetres.' },
      stance: { kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: Math.PI / 6 },
      eyeLine: { value: 28, basis: 'guessed', reason: 'A share of the height.' },
      soleMm: 0,
      base: null,
      min: [-6, -6, 0],
      max: [6, 6, 30],
      oneTo: 58,
    },
    layers: {
      kind: 'layer-stack',
      nLayers: N_LAYERS,
      loopStart: Uint32Array.from({ length: N_LAYERS + 1 }, (_, i) => 4 * i),
      points,
      faceZ,
      cutZ: Float64Array.from({ length: N_LAYERS }, (_, i) => (i + 0.5) * LAYER),
      layerStart: counting(N_LAYERS + 1),
      loopArea,
      loopParent: new Int32Array(N_LAYERS).fill(-1),
      loopIsland: counting(N_LAYERS),
      islandStart: counting(N_LAYERS + 1),
      islandLoop: counting(N_LAYERS),
      islandArea: loopArea,
      seams: new Float64Array(0),
      nResolvedLayers: 0,
    } as Examination['layers'],
    relations: {
      kind: 'layer-relations',
      restingArea: loopArea,
      startsInAir: new Uint8Array(N_LAYERS),
      belowStart: new Uint32Array(N_LAYERS + 1),
      below: new Uint32Array(0),
      unsupportedMm: nothing,
      unsupportedAt: new Float64Array(2 * N_LAYERS),
      unsupportedSlope: nothing,
      unsupportedArea: nothing,
      strips: new Float64Array(0),
      nStrips: 0,
      bedContact: 144,
    },
    outlineThickness: {
      kind: 'outline-thickness',
      sampleStart: new Uint32Array(N_LAYERS + 1),
      samples: new Float64Array(0),
      thickness: new Float32Array(0),
      facing: new Float32Array(0),
      islandThinnest: nothing,
      islandThinnestAt: new Float64Array(2 * N_LAYERS),
      islandWidest: nothing,
    },
    shellFit: {
      kind: 'shell-fit',
      beadWidthMm: 0.4,
      pitch: new Float64Array(N_LAYERS).fill(0.379),
      atThinnest: new Float32Array(N_LAYERS),
      atWidest: new Float32Array(N_LAYERS),
      atThinnestSideBySide: new Float32Array(N_LAYERS),
      atWidestSideBySide: new Float32Array(N_LAYERS),
      coreAtThinnest: nothing,
    },
    vanishing: [],
    surfaceThickness: null,
    print: null,
    heat: null,
    strength: null,
    tracks: [
      {
        id: 'area',
        question: 'How much is laid?',
        quantity: 'area',
        unit: 'mm²',
        values: loopArea,
        from: 0,
        to: 150,
        drawn: 'line',
        decimals: 1,
        why: 'Area inside the outlines of the layer, less holes.',
      },
      {
        id: 'thinnest',
        question: 'What is thinnest?',
        quantity: 'thinnest place',
        unit: 'mm',
        values: Float64Array.from({ length: N_LAYERS }, (_, i) => (i === 3 ? Number.NaN : 2 * halfWidth(i))),
        limit: { label: 'two beads', value: 0.8, bad: 'below' },
        from: 0,
        to: 6,
        drawn: 'line',
        decimals: 2,
        why: 'The largest circle inside the outline.',
      },
      {
        id: 'shells',
        question: 'Do the shells fit?',
        quantity: 'shells that fit',
        unit: '',
        values: Float64Array.from({ length: N_LAYERS }, (_, i) => Math.min(3, Math.floor(halfWidth(i) / 0.379))),
        limit: { label: 'asked for', value: 3, bad: 'below' },
        from: 0,
        to: 4,
        drawn: 'steps',
        decimals: 0,
        why: 'Closed shells at the thinnest place.',
      },
    ],
    findings: [
      finding({}),
      finding({
        id: 'steps@100:1,1',
        rule: 'steps',
        severity: 'marks',
        title: 'Steps show on the slope <i>here</i>',
        place: { fromMm: 10, toMm: 10.02, point: [1, 1, 10], areaMm2: 4, fromLayer: 10, toLayer: 10 },
        remedies: [],
      }),
    ],
  }
}
