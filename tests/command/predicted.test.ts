// The option --predicted: the printed solid as a mesh file.

import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readSculpt } from '../../src/engine/mesh/index.ts'
import { boxesStl, fettle, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', boxesStl([[-3, -3, 0, 3, 3, 4]]))

test('a mesh of layers: STL and PLY are read back whole; an old file is kept', async () => {
  for (const name of ['post-printed.stl', 'post-printed.ply']) {
    const ran = await fettle(['examine', 'post.stl', '--unit', 'mm', '--predicted', name, '--quiet'], inFolder)
    expect(ran.err).toBe('')
    expect(ran.code).toBe(0)
    const read = await readSculpt(new Uint8Array(readFileSync(join(folder, name))), { name })
    expect(read.ok && read.value.health.nOpenEdges).toBe(0)
    // A slab for each of 39 layers.
    expect(read.ok && read.value.health.nShells).toBe(39)
    // A little smaller than the sculpt, by shrinkage.
    if (read.ok) {
      let x = 0
      const { positions } = read.value.mesh
      for (let i = 0; i < positions.length; i += 3) if (positions[i + 2] > 0.3) x = Math.max(x, positions[i])
      expect(x).toBeGreaterThan(2.95)
      expect(x).toBeLessThan(3)
    }
  }
  const again = await fettle(['examine', 'post.stl', '--unit', 'mm', '--predicted', 'post-printed.stl'], inFolder)
  expect(again.code).toBe(2)
  expect(again.err).toMatch(/exists|--force/)
})

test('refuses other endings and several figures', async () => {
  const other = await fettle(['examine', 'post.stl', '--predicted', 'post.obj'], inFolder)
  expect(other.code).toBe(2)
  expect(other.err).toContain('.stl or .ply')
  const many = await fettle(['examine', 'post.stl', 'post.stl', '--predicted', 'post.ply'], inFolder)
  expect(many.code).toBe(2)
  expect(existsSync(join(folder, 'post.ply'))).toBe(false)
})

test('the report tells how it will look, the data carries it', async () => {
  const { out } = await fettle(['examine', 'post.stl', '--unit', 'mm'], inFolder)
  expect(out).toContain('steps')
  expect(out).toContain('bead starts')
  const { out: json } = await fettle(['examine', 'post.stl', '--unit', 'mm', '--json'], inFolder)
  const { surface } = JSON.parse(json)
  expect(surface.layerChoices[0].layerHeightMm).toBe(0.1)
  expect(surface.props.nProps).toBe(0)
})
