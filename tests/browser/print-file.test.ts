// A print file on the bench: the same sheet from its beads, held against the plan of the figure that is shown.

import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { createExaminer, EXAMINE_DEFAULTS } from '../../src/engine/examine/index.ts'
import { writeCode } from '../../src/engine/motioncode/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { dropFigure, dropFile, type Ground, layGround, type Opened, openBench } from './open-bench.ts'
import { PLAIN_FIGURE } from './small-figures.ts'
import { untilWhole } from './take-screens.ts'

let ground: Ground
let opened: Opened
beforeAll(async () => {
  ground = await layGround()
  opened = await openBench(ground, {}, false, '#figure=none')
  await dropFigure(opened.page, 'plain figure', PLAIN_FIGURE)
})
afterAll(() => ground?.close())

/** The plan of the small figure with other settings, written as a print file at a place of its own on the bed. */
const printFile = async (settings: Partial<typeof EXAMINE_DEFAULTS>): Promise<string> => {
  const bytes = new TextEncoder().encode(PLAIN_FIGURE)
  const outcome = await createExaminer(await loadPolygonKit()).examine(bytes, 'plain figure.stl', {
    ...EXAMINE_DEFAULTS,
    ...settings,
  })
  if (!outcome.ok || !outcome.value.print) throw new Error('expected a print')
  const { plan, recipe, filament } = outcome.value.print
  return writeCode(plan, {
    filamentDiameterMm: filament.diameterMm,
    flowShare: recipe.flowShare,
    acceleration: recipe.accelerationMmPerS2,
    cornerSpeed: recipe.cornerSpeedMmPerS,
    originX: 110,
    originY: 95,
  })
}

test('a file of the same figure with fewer shells: beads, plan beside every track, differences as findings', async () => {
  const { page, complaints } = opened
  await dropFile(page, 'two shells.gcode', await printFile({ nShells: 1 }))
  await page.waitForSelector('h1:has-text("two shells")', { timeout: 60_000 })
  await untilWhole(page)
  expect(await page.textContent('.scale-line')).toContain('a print file')
  expect(await page.textContent('.findings')).toMatch(/shells round an outline/i)
  expect(await page.textContent('.findings')).toMatch(/shells round an outline, at all heights: 1 in the file, 3/i)
  expect(await page.textContent('.title-block')).toContain('plain figure')
  // The plan's sheet is held as A, so the short table says what the file is worth against it.
  await page.waitForSelector('.worth')
  expect(await page.textContent('.whatif-words')).toContain('B is a print file')
  expect(await page.locator('.track-legend li:has(.other-line)').count()).toBeGreaterThan(2)
  await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
  await page.keyboard.press('Home')
  await page.keyboard.press('PageUp')
  await expect.poll(() => page.locator('.plan .beads path').count(), { timeout: 5000 }).toBeGreaterThan(1)
  expect(await page.textContent('.section .piece')).toContain('outer shell')
  // One step: taken back, the figure's own sheet is there again.
  await page.keyboard.press('Control+z')
  await page.waitForSelector('h1:text-is("plain figure")')
  await untilWhole(page)
  expect(await page.textContent('.scale-line')).toContain('to the eye line')
  await page.getByRole('button', { name: 'Let A go' }).click()
  expect(complaints).toEqual([])
})

test('a file of something else is shown by itself, and said to be something else', async () => {
  const { page, complaints } = opened
  await dropFile(page, 'post.gcode', readFileSync('demo/mooring-post.gcode', 'utf8'))
  await page.waitForSelector('h1:has-text("post")')
  await untilWhole(page)
  expect(await page.textContent('.verdict')).toContain('does not seem to be a print of the figure')
  expect(await page.textContent('.title-block')).toContain('no figure')
  await page.waitForSelector('.drawn svg path', { state: 'attached' })
  expect(await page.locator('.flag').count()).toBeGreaterThan(0)
  expect(complaints).toEqual([])
})

test('a broken print file is refused in a sentence and the sheet before it stays', async () => {
  const { page, complaints } = opened
  const name = await page.textContent('h1')
  await dropFile(page, 'nothing.gcode', 'G28\nG1 X1 Y1 F600\nG1 X2\nM104 S200\nM84\n')
  await page.locator('.troubles p').first().waitFor()
  await untilWhole(page)
  expect(await page.textContent('h1')).toBe(name)
  expect(((await page.textContent('.troubles p')) ?? '').length).toBeGreaterThan(20)
  expect(complaints).toEqual([])
})
