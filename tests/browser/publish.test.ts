// Notebook and publishing on the bench: keep a figure, export it, take it in, withdraw; publish a guide and open it again by dropping it.

import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { readPublished } from '../../src/guide/index.ts'
import { history } from '../../src/notebook/index.ts'
import { openNotebook } from '../../src/notebook/node.ts'
import { scratchFolder } from '../command/run-fettle.ts'
import { SAMPLE_TRIALS, TINY_PNG } from '../guide-sample.ts'
import { dropFile, type Ground, layGround, openWithFin } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const folder = scratchFolder()
let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

const toPage = async (page: Page, name: string): Promise<void> => {
  await page.getByRole('button', { name, exact: true }).click()
  await page.waitForSelector(`h2:has-text("${name}")`)
}

const violations = async (page: Page, where: string): Promise<string[]> => {
  await page.evaluate(AXE)
  return page.evaluate(async (inside) => {
    const { axe } = window as unknown as {
      axe: { run: (where: string) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await axe.run(inside)).violations.map(({ id, nodes }) => `${id}: ${nodes[0].html}`)
  }, where)
}

const saved = async (page: Page, name: string, path: string): Promise<string> => {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name, exact: true }).click(),
  ])
  await download.saveAs(path)
  return download.suggestedFilename()
}

const fillLines = async (page: Page): Promise<void> => {
  for (const [label, words] of [
    ['Title', 'A fin of the night ferry'],
    ['Author', 'The crew'],
    ['Maker of the sculpt', 'The crew'],
    ['Licence', 'CC BY 4.0'],
    ['Leave to show it', 'our own work'],
  ])
    await page.getByLabel(label, { exact: true }).fill(words)
}

test('a figure is kept, stays over a reload, is exported, withdrawn, and the command opens the file', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await toPage(page, 'Notebook')
  await page.waitForSelector('text=Nothing of this kind is kept yet')
  await page.getByRole('button', { name: 'Keep this figure and its examination' }).click()
  await page.waitForSelector('text=Kept: 5 new entries.')
  await page.getByLabel('Files for the notebook').setInputFiles([
    { name: 'trials.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(SAMPLE_TRIALS)) },
    { name: 'photo.png', mimeType: 'image/png', buffer: Buffer.from(TINY_PNG) },
  ])
  await page.waitForSelector('text=trials.json: 2 new entries of trials.')
  expect(await violations(page, '.notebook')).toEqual([])
  await page.reload()
  await page.waitForSelector('.notebook tbody tr')
  expect(await page.locator('.notebook tbody tr').count()).toBe(8)

  await page.getByRole('button', { name: 'Withdraw photo.png' }).click()
  await page.waitForSelector('text=Withdrawn; the entry stays')
  expect(await page.locator('.notebook tbody tr').count()).toBe(7)
  await page.getByLabel('whole history').check()
  expect(await page.locator('.notebook tbody tr').count()).toBe(9)

  const path = join(folder, 'carried.notebook')
  expect(await saved(page, 'Export as one file', path)).toBe('ferry.notebook')
  // The file is there before the page has said so; until then its buttons wait.
  await page.waitForSelector('text=Exported: one file with everything in it')
  const opened = await openNotebook(path)
  if (!opened.ok) throw new Error(opened.issues[0].message)
  expect(history(opened.value.store)).toHaveLength(9)
  opened.value.close()

  await page.getByRole('button', { name: 'Delete everything' }).click()
  await page.getByRole('button', { name: 'Delete for good' }).click()
  await page.waitForSelector('text=Nothing of this kind is kept yet')
  await page.getByLabel('Files for the notebook').setInputFiles(path)
  await page.waitForSelector('text=9 entries and 2 files taken in')
  expect(complaints).toEqual([])
  expect(foreign).toEqual([])
  await close()
})

test('a second tab is told that the first has the notebook', async () => {
  const { page, close } = await openWithFin(ground, { colorScheme: 'dark' })
  await toPage(page, 'Notebook')
  await page.waitForSelector('text=Nothing of this kind is kept yet')
  expect(await violations(page, '.notebook')).toEqual([])
  const second = await page.context().newPage()
  await second.goto(page.url())
  await second.waitForSelector('text=The notebook is open in another tab', { timeout: 60_000 })
  await page.close()
  await second.getByRole('button', { name: 'Try again' }).click()
  await second.waitForSelector('text=Nothing of this kind is kept yet')
  await close()
})

test('a guide is published with what is missing named first, shown, and opened again by dropping it', async () => {
  const { page, complaints, foreign, close } = await openWithFin(ground)
  await toPage(page, 'Publish')
  await page.getByRole('button', { name: 'Save the guide' }).click()
  for (const key of ['author', 'sculpt.maker', 'sculpt.licence', 'sculpt.leave'])
    await page.waitForSelector(`[role=alert] li:has-text("${key}")`)
  await fillLines(page)
  await page.getByLabel('a 0.25 mm nozzle (computed, untried)').check()
  await page
    .getByLabel('Photographs', { exact: true })
    .setInputFiles({ name: 'photo.png', mimeType: 'image/png', buffer: Buffer.from(TINY_PNG) })
  await page.getByLabel('What it shows, for people who cannot see it').fill('the fin')
  await page.getByLabel(/^Scale in view/).fill('steel rule')
  expect(await violations(page, '.publish')).toEqual([])
  const path = join(folder, 'fin.html')
  expect(await saved(page, 'Save the guide', path)).toBe('a-fin-of-the-night-ferry.html')
  const html = readFileSync(path, 'utf8')
  const read = readPublished(html)
  if (!read.ok) throw new Error(read.issues[0].message)
  expect(html).toContain('Scale in view: steel rule')
  expect(html).toContain('0.25 mm')

  await page.getByRole('button', { name: 'Show it' }).click()
  const frame = page.frameLocator('iframe')
  await frame.locator('h1:has-text("A fin of the night ferry")').waitFor()
  // The style has come along: the cautions stand in their box.
  expect(await frame.locator('.cautions').evaluate((node) => getComputedStyle(node).borderTopWidth)).toBe('2px')

  // The recipe of a guide that somebody else published, dropped on the bench.
  const other = html.replace('"nozzleC":195', '"nozzleC":190')
  expect(other).not.toBe(html)
  writeFileSync(join(folder, 'other.html'), other)
  await page.getByRole('button', { name: 'Back to the sheet' }).click()
  await dropFile(page, 'other.html', other)
  await untilWhole(page)
  await page.getByRole('button', { name: 'Size and recipe' }).click()
  await page.waitForSelector('dialog')
  expect(await page.locator('dialog input[id*=nozzleC], dialog input[name*=nozzleC]').first().inputValue()).toBe('190')
  expect(complaints).toEqual([])
  expect(foreign).toEqual([])
  await close()
})

test('a page that is no guide is refused with a sentence', async () => {
  const { page, close } = await openWithFin(ground)
  await dropFile(
    page,
    'bad.html',
    '<!doctype html><script>document.title = "ran"</script><script type="application/json" id="fettle-guide-data">{"form":"fettle-guide","version":1}</script>',
  )
  await page.waitForSelector('text=bad.html:')
  expect(await page.title()).not.toBe('ran')
  await close()
})
