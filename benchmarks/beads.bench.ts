// Planning all beads of a figure of 330 layers, and its shells' offsets beside those of a second polygon library.

import { Clipper, EndType, JoinType } from 'clipper2-ts'
import { BEAD_WISHES_DEFAULTS, pitchOf, planBeads, roundingMm, shellsOf } from '../src/engine/beads/index.ts'
import { layerPolygons } from '../src/engine/sections/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { type Loop, stackByHand } from '../tests/stack-by-hand.ts'
import { type BenchRow, least } from './least.ts'

const N_LAYERS = 330

/** A standing shape of 33 mm: a waisted body with five folds, two arms beside it over part of the height; 300 points a layer. */
export const standing = () => {
  const blob = (x: number, r: number, folds: number, turn: number, n: number): Loop =>
    Array.from({ length: n }, (_, i) => {
      const a = (2 * Math.PI * i) / n
      const f = r * (1 + 0.12 * Math.sin(folds * a + turn) + 0.03 * Math.sin(3 * folds * a))
      return [x + f * Math.cos(a), 0.8 * f * Math.sin(a)]
    })
  const layers = Array.from({ length: N_LAYERS }, (_, i): Loop[][] => {
    const body = blob(0, 3.4 + 1.2 * Math.cos(i / 40), 5, i / 60, i > 120 && i < 240 ? 200 : 300)
    if (i <= 120 || i >= 240) return [[body]]
    return [[body], [blob(-8, 1.1, 3, i / 30, 50)], [blob(8, 0.9, 3, i / 30, 50)]]
  })
  return stackByHand(layers, 0.1)
}

const beads = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const stack = standing()
  const outlines = Array.from({ length: N_LAYERS }, (_, i) => layerPolygons(stack, i))
  const pitch = pitchOf(BEAD_WISHES_DEFAULTS.beadWidthMm, 0.1)
  const planned = await least(5, () => planBeads(stack, BEAD_WISHES_DEFAULTS, kit))
  const { plan } = await planBeads(stack, BEAD_WISHES_DEFAULTS, kit)
  const shells = await least(5, () => {
    for (const outline of outlines) shellsOf(outline, 3, pitch, roundingMm(0.1) / 2, kit)
  })
  const paths = outlines.map(({ loopStart, points }) =>
    Array.from({ length: loopStart.length - 1 }, (_, j) =>
      Array.from({ length: loopStart[j + 1] - loopStart[j] }, (_, k) => ({
        x: points[2 * (loopStart[j] + k)],
        y: points[2 * (loopStart[j] + k) + 1],
      })),
    ),
  )
  const offsets = await least(3, () => {
    for (const layer of paths)
      for (let k = 0; k < 3; k++)
        Clipper.inflatePathsD(layer, -(0.2 + k * pitch), JoinType.Round, EndType.Polygon, 2, 4, 0.004)
  })
  const nPoints = stack.points.length / 2
  const size = `${N_LAYERS} layers, ${Math.round(nPoints / N_LAYERS)} outline points a layer`
  return [
    {
      subject: 'all beads of a figure: 3 shells, gap beads, caps, infill, order',
      against: '',
      oursS: planned,
      theirsS: Number.NaN,
      note: `${size}, ${plan.nBeads} beads; goal 1`,
    },
    {
      subject: 'shells with their gaps and the inside checked for narrow places',
      against: 'clipper2-ts 2.0.1: three plain offsets a layer',
      oursS: shells,
      theirsS: offsets,
      note: `${size}, outlines as they are on both sides (the plan simplifies them to 0.01 mm first)`,
    },
  ]
}

export default beads
