// What is laid over the figure, along the outline of the section: colours, legend with limit, plot, numbers by pointer, keys and table.

import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Ground, layGround, openWithFin } from './open-bench.ts'
import { untilWhole } from './take-screens.ts'

let ground: Ground
beforeAll(async () => {
  ground = await layGround()
})
afterAll(() => ground?.close())

/** To 2.5 mm above the bed and more: body and fin stand side by side there. */
const toTheFin = async (page: import('playwright-core').Page) => {
  await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
  await page.keyboard.press('Home')
  for (let n = 0; n < 5; n++) await page.keyboard.press('PageUp')
}

test('one choice for figure and section: colours, plot with limit, numbers by key, by pointer and as a table', async () => {
  const { page, complaints, close } = await openWithFin(ground)
  await toTheFin(page)
  const title = await page.textContent('#section-title')
  await expect.poll(() => page.locator('.profile').count(), { timeout: 5000 }).toBe(0)
  await page.getByLabel('laid over it:').selectOption('thickness')

  expect(await page.locator('.plan svg path[stroke-width="4"]').count()).toBeGreaterThan(1)
  expect(await page.locator('.plan-legend svg').getAttribute('aria-label')).toMatch(
    /thickness.*mark at one bead, 0\.4 mm/,
  )
  expect(await page.locator('.profile-plot .limit').count()).toBe(1)
  await expect
    .poll(() => page.textContent('.section .key'), { timeout: 5000 })
    .toMatch(/Below "one bead", 0\.4 mm, along \d+\.\d mm/)

  // By key: the fin is the second outline, 0.3 mm thick, and its end is the end of the way.
  const slider = page.getByRole('slider', { name: 'Place along the outline, thickness' })
  await slider.focus()
  await page.keyboard.press('End')
  await page.keyboard.press('ArrowLeft')
  await page.keyboard.press('ArrowLeft')
  await page.keyboard.press('ArrowLeft')
  const said = await slider.getAttribute('aria-valuetext')
  expect(said).toMatch(/outline 2 of 2: thickness 0\.\d mm, below "one bead"/)
  expect(await page.textContent('.profile-words')).toBe(said)
  await expect.poll(() => page.locator('.plan-at').count(), { timeout: 5000 }).toBe(1)
  // The keys of the plot are its own: the height stays.
  await page.keyboard.press('Home')
  expect(await slider.getAttribute('aria-valuenow')).toBe('0')
  expect(await page.textContent('#section-title')).toBe(title)

  // By pointer, in the plot and on the plan.
  const box = await page.locator('.profile-plot').boundingBox()
  if (!box) throw new Error('the plot is not there')
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
  await expect.poll(() => page.textContent('.profile-words'), { timeout: 5000 }).toMatch(/outline 1 of 2/)
  const fin = await page.locator('.plan-at').boundingBox()
  await page.mouse.move(box.x + box.width - 14, box.y + box.height / 2)
  await expect.poll(() => page.textContent('.profile-words'), { timeout: 5000 }).toMatch(/outline 2 of 2/)
  if (!fin) throw new Error('no place was marked on the plan')
  await page.mouse.move(fin.x + fin.width / 2, fin.y + fin.height / 2)
  await expect.poll(() => page.textContent('.profile-words'), { timeout: 5000 }).toMatch(/outline 1 of 2/)

  // As a table: a row a step, both outlines.
  await page.getByText('The outline as a table').click()
  await page.waitForSelector('.outline-table tbody tr')
  const rows = await page.locator('.outline-table tbody tr').allTextContents()
  expect(rows.length).toBeGreaterThan(15)
  expect(new Set(await page.locator('.outline-table tbody td:nth-child(2)').allTextContents())).toEqual(
    new Set(['1', '2']),
  )

  // Another choice, another quantity in both places; nothing, and all of it is gone.
  await page.getByLabel('laid over it:').selectOption('soft-again')
  await expect
    .poll(() => page.textContent('.section .key'), { timeout: 5000 })
    .toContain('Coloured along the outline: softened again')
  await page.waitForSelector('.profile-plot[aria-label="Place along the outline, softened again"]')
  await expect.poll(() => page.locator('.plan-at').count(), { timeout: 5000 }).toBe(0)
  await page.getByLabel('laid over it:').selectOption('')
  await expect.poll(() => page.locator('.profile, .plan-legend').count(), { timeout: 5000 }).toBe(0)
  expect(complaints).toEqual([])
  await close()
}, 240_000)

test('what has one value a layer says so, and what is not known at a height says that', async () => {
  const { page, close } = await openWithFin(ground)
  await toTheFin(page)
  await page.getByLabel('laid over it:').selectOption('surplus')
  await expect.poll(() => page.textContent('.section .key'), { timeout: 5000 }).toMatch(/surplus|spills/)
  await expect.poll(() => page.textContent('.section .key'), { timeout: 5000 }).toMatch(/% all round\./)
  expect(await page.locator('.plan-legend svg').getAttribute('aria-label')).toMatch(/mark at shows, 1\.0 %/)
  await expect.poll(() => page.locator('.profile').count(), { timeout: 5000 }).toBe(0)
  // The first layer has no joint with a layer below.
  const ids = await page.locator('.over option').evaluateAll((all) => all.map((o) => (o as HTMLOptionElement).value))
  expect(ids).toContain('bond')
  await page.getByLabel('laid over it:').selectOption('bond')
  await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
  await page.keyboard.press('Home')
  await expect
    .poll(() => page.textContent('.section .key'), { timeout: 5000 })
    .toContain('bond between layers is not known at this height')
  await expect.poll(() => page.locator('.plan-legend').count(), { timeout: 5000 }).toBe(0)
  await close()
}, 240_000)

test.each([360, 1366, 3840])(
  'at %i px nothing of it runs out of the page',
  async (width) => {
    const { page, close } = await openWithFin(ground, { viewport: { width, height: 900 } })
    await toTheFin(page)
    await page.getByLabel('laid over it:').selectOption('thickness')
    await page.waitForSelector('.profile-plot svg')
    const fits = await page.evaluate(() => {
      const right = document.querySelector('.section')?.getBoundingClientRect().right ?? 0
      return [...document.querySelectorAll('.plan, .plan-legend, .profile-plot, .profile-words')].map(
        (part) => part.getBoundingClientRect().right <= right + 1,
      )
    })
    expect(fits).toEqual([true, true, true, true])
    await close()
  },
  240_000,
)

test('the picture of the section takes colours, legend and limit along, as SVG and as PNG', async () => {
  const { page, complaints, close } = await openWithFin(ground)
  await toTheFin(page)
  await page.getByLabel('laid over it:').selectOption('thickness')
  await page.getByRole('button', { name: 'Pictures' }).click()
  await page.getByLabel(/^The section/).check()
  await page.waitForSelector('.picture-preview')
  const [svg] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save as SVG' }).click(),
  ])
  const text = readFileSync(await svg.path(), 'utf8')
  // Measured walls are drawn in more than one colour; the legend is named, and so is its mark.
  expect(
    new Set([...text.matchAll(/stroke="(#[0-9a-f]{6})" stroke-width="4"/g)].map(([, ink]) => ink)).size,
  ).toBeGreaterThan(1)
  expect(text).toContain('>thickness</text>')
  expect(text).toContain('>mark: one bead, 0.4 mm</text>')
  const [png] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save as PNG' }).click(),
  ])
  const bytes = readFileSync(await png.path())
  // Signature and size of the picture stand at the front of the file.
  expect(bytes.subarray(1, 4).toString('latin1')).toBe('PNG')
  const shape = /viewBox="0 0 (\d+) (\d+)"/.exec(text)
  expect(bytes.readUInt32BE(20) / bytes.readUInt32BE(16)).toBeCloseTo(Number(shape?.[2]) / Number(shape?.[1]), 2)
  expect(complaints).toEqual([])
  await close()
}, 240_000)

test('in a what-if the section shows A beside B, in line, tint and words', async () => {
  const { page, complaints, close } = await openWithFin(ground)
  await toTheFin(page)
  expect(await page.locator('.plan .reach').count()).toBe(0)
  await page.getByRole('button', { name: 'Size and recipe' }).click()
  await page
    .getByLabel(/sole to eye/i)
    .first()
    .fill('24')
  await page.getByRole('button', { name: 'Examine with these' }).click()
  await page.waitForSelector('.steps li:nth-child(2) [aria-current]')
  await untilWhole(page)
  await page.getByRole('button', { name: 'Compare', exact: true }).click()
  await page.waitForSelector('.plan .reach')
  const words = await page.textContent('.section .key')
  expect(words).toMatch(/Dotted: A, with \d+\.\d mm² in \d pieces?; B has \d+\.\d\d mm² (less|more) \(\d+\.\d %\)/)
  expect(words).toMatch(/\d\.\d\d mm (less|more) from left to right/)
  expect(words).toContain('Tinted: where A’s beads reach and B has none.')
  expect(complaints).toEqual([])
  await close()
}, 240_000)
