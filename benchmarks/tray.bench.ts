// A tray of sixteen figures of some 100 000 triangles: outlines from above and places; and as many of one as a bed takes.

import { readFileSync } from 'node:fs'
import { standUp } from '../src/engine/figure/index.ts'
import type { PolygonKit, Polygons } from '../src/engine/kernel/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers, type LayerStack } from '../src/engine/sections/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { mostOnBed, placeTray, planOutline } from '../src/tray/index.ts'
import { type BenchRow, least } from './least.ts'

const BED = { xMm: 220, yMm: 220, marginMm: 5, gapMm: 5 }

const stackOf = async (
  id: string,
  turn: number,
  kit: PolygonKit,
): Promise<{ stack: LayerStack; triangles: number }> => {
  const read = await readSculpt(new Uint8Array(readFileSync(`dist/crew/${id}.ply`)), { name: id })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stance = { kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: turn } as const
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm', stance })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const { mesh, max } = stood.value
  const stack = await cutLayers(mesh, max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  return { stack, triangles: mesh.triangles.length / 3 }
}

const tray = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const stacks: LayerStack[] = []
  let triangles = 0
  for (const id of ['keeper', 'lamplighter', 'passenger', 'ferry-dog'])
    for (let k = 0; k < 4; k++) {
      const one = await stackOf(id, 0.3 * k, kit)
      stacks.push(one.stack)
      triangles += one.triangles
    }
  let outlines: Polygons[] = []
  const outlineS = await least(2, async () => {
    outlines = []
    for (const stack of stacks) outlines.push(await planOutline(stack, kit))
  })
  const copies = new Array<number>(16).fill(1)
  const placeS = await least(3, () => placeTray(outlines, copies, BED, kit))
  const mostS = await least(3, () => mostOnBed(outlines[0], BED, kit))
  const alone = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  const mean = `${Math.round(triangles / 16000)} 000 triangles each on the mean`
  return [
    alone('tray: outlines of sixteen figures from above', outlineS, `${mean}; goal 3 with the next row`),
    alone('tray: places for sixteen figures', placeS, 'goal 3 with the row above'),
    alone(
      'tray: as many of one figure as a bed takes',
      mostS,
      `${mostOnBed(outlines[0], BED, kit).places.length} pieces`,
    ),
  ]
}

export default tray
