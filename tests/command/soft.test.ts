// The verb "soft" as a child process: tables within 80 columns, data, a picture, a height outside the figure.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)

test('tables, a picture, and trouble in one sentence', async () => {
  const { code, out, err } = await fettle(
    ['soft', 'post.stl', '--total-height', '10', '--at', '7', '--svg', 'soft.svg'],
    inFolder,
  )
  expect([code, err]).toEqual([0, ''])
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  expect(out).toMatch(/^What softens again on post/)
  for (const height of ['0.05', '0.1', '0.2']) expect(out).toMatch(new RegExp(`^ *${height} mm .* °C .* mm`, 'm'))
  expect(readFileSync(join(folder, 'soft.svg'), 'utf8')).toMatch(/^<svg[^>]*role="img"/)
  const outside = await fettle(['soft', 'post.stl', '--total-height', '10', '--at', '70'], inFolder)
  expect(outside.code).not.toBe(0)
  expect(outside.err).toContain('70 mm, expected one within')
})
