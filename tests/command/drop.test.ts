// The verb "drop" as a child process: words within 80 columns, data, wrong use.

import { expect, test } from 'vitest'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)
const SIZE = ['--total-height', '12', '--attitudes', '6', '--coarse']

test('words and data of a fall', async () => {
  const { code, out, err } = await fettle(['drop', 'post.stl', ...SIZE, '--from', '0.3'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  expect(out).toMatch(/^post\.stl falls 0\.3 m on stone\n *It survives \d+ % of \d attitudes/)
  expect(out).toContain('Where it breaks first')
  const data = await fettle(['drop', 'post.stl', ...SIZE, '--json'], inFolder)
  const { form, drop } = JSON.parse(data.out)
  expect(form).toBe('fettle-drop')
  expect(drop.attitudes.filter(({ kind }: { kind: string }) => kind === 'even')).toHaveLength(6)
  // A metre is at least as bad as a third of it.
  expect(drop.speedMPerS).toBeCloseTo(Math.sqrt(2 * 9.81 * 1), 1)
})

test('what cannot be asked is told', async () => {
  const high = await fettle(['drop', 'post.stl', '--from', '50'], inFolder)
  expect([high.code, high.out]).toEqual([2, ''])
  expect(high.err).toContain('--from')
  const soft = await fettle(['drop', 'post.stl', '--floor', 'water'], inFolder)
  expect(soft.code).toBe(2)
})
