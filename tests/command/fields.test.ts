// "examine --fields" as a child process: files that other programs read, the report beside them, and what is refused.

import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { NodeIO } from '@gltf-transform/core'
import { expect, test } from 'vitest'
import { readVtu } from '../vtu-file.ts'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)
const POST_30 = ['examine', 'post.stl', '--unit', 'mm', '--total-height', '30', '--quiet', '--field-cell', '0.8']

test('a .vtu that reads back, and the field told in the report', async () => {
  const { code, out, err } = await fettle([...POST_30, '--fields', 'post.vtu'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('The whole field of stress')
  expect(out).toMatch(/breaks it at [\d.]+ N and [\d.]+ mm of travel/)
  expect(out).toContain('Own weight uses')
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  const file = readVtu(readFileSync(join(folder, 'post.vtu')))
  expect(file.nCells).toBeGreaterThan(500)
  const moved = file.arrays.filter(({ name }) => name.startsWith('movement'))
  expect(moved.length).toBeGreaterThan(0)
  const celsius = file.array('temperature C under the nozzle').values.filter((v) => !Number.isNaN(v))
  expect(Math.min(...celsius)).toBeGreaterThan(15)
  expect(Math.max(...celsius)).toBeLessThan(300)
  expect(Math.max(...moved[0].values.map(Math.abs))).toBeGreaterThan(0)
  const again = await fettle([...POST_30, '--fields', 'post.vtu'], inFolder)
  expect(again.code).toBe(2)
  expect(again.err).toContain('post.vtu is there already')
})

test('a .glb coloured by the wished quantity, and the loads in numbers in the sheet as data', async () => {
  const { code, out } = await fettle([...POST_30, '--fields', 'post.glb', '--quantity', 'movement', '--json'], inFolder)
  expect(code).toBe(0)
  const { field, layers } = JSON.parse(out)
  expect(field.cellMm).toBe(0.8)
  expect(field.nUnknowns).toBeGreaterThan(1000)
  expect(field.loads.map(({ kind }: { kind: string }) => kind)).toContain('push')
  for (const { words } of field.loads) expect(words.length).toBeGreaterThan(20)
  expect(field.layerBreakForceN).toHaveLength(layers.nLayers)
  const forces = field.layerBreakForceN.filter((force: number | null) => force !== null)
  expect(Math.min(...forces)).toBeGreaterThan(0)
  expect(Math.max(...forces)).toBeLessThanOrEqual(1000)
  const document = await new NodeIO().read(join(folder, 'post.glb'))
  const mesh = document.getRoot().listMeshes()[0]
  expect(mesh.getExtras()).toMatchObject({ quantity: 'movement under 1 N on the weakest limb', unit: 'mm' })
  expect(mesh.listPrimitives()[0].getAttribute('COLOR_0')?.getCount()).toBeGreaterThan(7)
})

test('refuses before any work: other endings, a cell or a quantity alone, several figures, too fine a cell', async () => {
  const refused: readonly (readonly [readonly string[], RegExp])[] = [
    [['--fields', 'post.txt'], /end in \.vtu or \.glb, not "post\.txt"/],
    [['--field-cell', '0.2'], /belong to --fields/],
    [['--fields', 'other.vtu', '--quantity', 'use'], /leave it out/],
    [['--fields', 'other.vtu', '--field-cell', 'fine'], /--field-cell takes a number from 0\.05 to 2 mm, not "fine"/],
    [['post.stl', '--fields', 'other.vtu'], /give a single FILE/],
  ]
  for (const [words, sentence] of refused) {
    const { code, err } = await fettle(['examine', 'post.stl', ...words], inFolder)
    expect(code).toBe(2)
    expect(err).toMatch(sentence)
  }
  const { code, err } = await fettle(
    [
      'examine',
      'post.stl',
      '--unit',
      'mm',
      '--total-height',
      '30',
      '--fields',
      'large.vtu',
      '--field-cell',
      '0.05',
      '-q',
    ],
    inFolder,
  )
  expect(code).toBe(3)
  expect(err).toMatch(/take about [\d.]+ GB, expected at most 1\.2 GB/)
  expect(existsSync(join(folder, 'large.vtu'))).toBe(false)
})
