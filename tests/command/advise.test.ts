// The verb "advise": a short list, its first recipe as a file, limits, same seed same answer.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readRecipe, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { boxesStl, fettle, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
// A foot with a thin post: falls break it, and it is small enough to be laid often.
writeBytes(
  folder,
  'stub.stl',
  boxesStl([
    [-3, -3, 0, 3, 3, 1],
    [-0.7, -0.7, 1, 0.7, 0.7, 5],
  ]),
)
const held = 'layerHeightMm,flowShare,accelerationMmPerS2,leastLayerTimeS'
const words = ['advise', 'stub.stl', '--scale-height', '4', '--hold', held, '--trials', '4']

test('a list with changes, gains and losses; the first recipe as a file; the same seed gives the same words', async () => {
  const { code, out, err } = await fettle([...words, '-o', 'best.json'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('18 recipes estimated, 4 laid')
  expect(out).toMatch(/gives up/)
  expect(out).toContain('one step of each setting')
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  const recipe = readRecipe(readFileSync(join(folder, 'best.json'), 'utf8'))
  if (!recipe.ok) throw new Error('not accepted')
  for (const key of held.split(',') as (keyof typeof STARTING_RECIPE)[])
    expect(recipe.value[key]).toBe(STARTING_RECIPE[key])
  expect((await fettle(words, inFolder)).out).toBe(out)
  expect((await fettle([...words, '-o', 'best.json'], inFolder)).code).toBe(2)
})

test('limits are kept where that can be, and told where it cannot', async () => {
  const data = JSON.parse((await fettle([...words, '--most-time', '9000', '--json'], inFolder)).out)
  expect([data.form, data.version]).toEqual(['fettle-advice', 1])
  expect(data.missed).toEqual([])
  expect(data.picks.every((pick: { isWithinLimits: boolean }) => pick.isWithinLimits)).toBe(true)
  const never = await fettle([...words, '--most-plastic', '0.01'], inFolder)
  expect(never.code).toBe(0)
  expect(never.out).toContain('no recipe tried weighs 0.01 g or less')
  expect(never.out).toContain('(beyond the limits)')
})

test('wrong use is told before any work', async () => {
  expect((await fettle(['advise', 'gone.stl'], inFolder)).code).toBe(3)
  expect((await fettle(['advise', 'stub.stl', '--trials', '1'], inFolder)).err).toContain(
    '--trials takes a whole number',
  )
  expect((await fettle(['advise', 'stub.stl', '--hold', 'nozzleC'], inFolder)).err).toContain('--hold takes any of')
})
