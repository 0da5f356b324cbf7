// No view scrolls sideways, cuts text off, lays text over text, or has text too small, too pale, or targets too small, from 360 to 3840 px.

import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { layoutFaults } from './measure-layout.ts'
import { type Ground, layGround, type Opened, openBench, openWithFin } from './open-bench.ts'
import { PAGE_WORK, pageNames, toPage } from './page-work.ts'

const WIDTHS = [360, 768, 1366, 3840] as const

let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

/** Until what a changed window moves has moved: observers answer within a few frames. */
const settled = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    for (let k = 0; k < 6; k++) await new Promise((resolve) => requestAnimationFrame(resolve))
  })

/** Faults at every width, by day and by night. */
const faultsOf = async (page: Page, view: string, widths: readonly number[] = WIDTHS): Promise<string[]> => {
  const faults: string[] = []
  for (const width of widths)
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.setViewportSize({ width, height: width > 2000 ? 2160 : 900 })
      await page.emulateMedia({ colorScheme })
      await settled(page)
      for (const fault of await layoutFaults(page)) faults.push(`${view}, ${width} px, ${colorScheme}: ${fault}`)
    }
  await page.setViewportSize({ width: 1280, height: 900 })
  await settled(page)
  return faults
}

test('planted faults are found, each by its kind, and a sound page has none', async () => {
  const context = await ground.browser.newContext({ viewport: { width: 400, height: 600 } })
  const page = await context.newPage()
  const style = 'body{margin:0;background:#fff;color:#111;font:16px sans-serif} p{margin:8px}'
  await page.setContent(`<style>${style}</style><p>Sound words.</p><button style="height:30px">Press</button>`)
  expect(await layoutFaults(page)).toEqual([])
  await page.setContent(`<style>${style}</style>
    <p class="pale" style="color:#bbb">Pale words.</p>
    <p class="small" style="font-size:8px">Small words.</p>
    <p class="cut" style="width:60px;overflow:hidden;white-space:nowrap">Words that do not fit in sixty pixels</p>
    <p class="far" style="white-space:nowrap">${'Words that go on and on '.repeat(5)}</p>
    <p style="position:absolute;top:300px;left:20px">Under these words</p>
    <p style="position:absolute;top:304px;left:30px">stand these words</p>
    <svg width="100" height="40"><text x="0" y="20" font-size="6" fill="#111">drawn</text></svg>
    <select style="width:70px;height:30px"><option>a choice longer than its field</option></select>
    <button style="height:16px;padding:0">Low</button>`)
  const kinds = (await layoutFaults(page)).map((fault) => fault.split(':')[0])
  expect(new Set(kinds)).toEqual(
    new Set(['sideways', 'cut off', 'outside', 'small text', 'pale', 'overlap', 'small target']),
  )
  expect(kinds.filter((kind) => kind === 'small text').length).toBe(2)
  expect(kinds.filter((kind) => kind === 'cut off').length).toBe(2)
  await context.close()
})

let opened: Opened
test('the sheet of a small figure, with what is folded under it open, and every dialog over it', async () => {
  opened = await openWithFin(ground)
  const { page } = opened
  expect(await faultsOf(page, 'sheet')).toEqual([])
  await page.locator('details').evaluateAll((all) => {
    for (const one of all as HTMLDetailsElement[]) one.open = true
  })
  await page.waitForSelector('.height-table')
  await page.keyboard.press('.')
  expect(await faultsOf(page, 'sheet unfolded')).toEqual([])
  for (const name of ['Size and recipe', 'choose tracks', 'List keys and words']) {
    await page.getByRole('button', { name }).click()
    await page.waitForSelector('dialog')
    expect(await faultsOf(page, name, [360, 1366])).toEqual([])
    await page.keyboard.press('Escape')
    await page.waitForSelector('dialog', { state: 'detached' })
  }
}, 240_000)

test('every page beside the sheet, as it opens and when its work is done', async () => {
  const { page } = opened
  const names = await pageNames(page)
  expect(names.length).toBeGreaterThan(9)
  // A new page must say here what its work is.
  expect(Object.keys(PAGE_WORK).sort()).toEqual([...names].sort())
  const faults: string[] = []
  for (const name of names) {
    await toPage(page, name)
    faults.push(...(await faultsOf(page, name, [360, 1366])))
    await PAGE_WORK[name](page)
    faults.push(...(await faultsOf(page, `${name}, done`)))
  }
  expect(faults).toEqual([])
  await opened.close()
}, 600_000)

test('the sheet of the keeper, and an empty bench', async () => {
  const keeper = await openBench(ground)
  expect(await faultsOf(keeper.page, 'the keeper')).toEqual([])
  await keeper.close()
  const empty = await openBench(ground, {}, false, '#figure=none')
  await empty.page.waitForSelector('.verdict')
  expect(await faultsOf(empty.page, 'empty bench')).toEqual([])
  await empty.close()
}, 240_000)
