// The bench in a real browser: open, drop, scrub, try and take back, stop, print, without a network.

import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'
import { dropFile, dropFin, type Ground, layGround, type Opened, openBench, openWithFin } from './open-bench.ts'
import { BROKEN_STL, FIN_FIGURE } from './small-figures.ts'
import { untilWhole } from './take-screens.ts'

let ground: Ground
/** One bench for all tests that need no bench of their own: each drops the small figure again, whose sheet is still kept. */
let shared: Opened
beforeAll(async () => {
  ground = await layGround()
  shared = await openWithFin(ground)
})
afterAll(() => ground?.close())

const fresh = async (): Promise<Opened> => {
  const { page, complaints } = shared
  complaints.length = 0
  const understood = page.getByRole('button', { name: 'Understood' })
  if (await understood.count()) await understood.click()
  await dropFin(page)
  return shared
}

const heightOf = async (page: import('playwright-core').Page): Promise<number> =>
  Number(await page.getByRole('slider', { name: 'Height that is looked at' }).getAttribute('aria-valuenow'))

describe('the sheet', () => {
  test('opens with the keeper, draws it, and asks nobody else for anything', async () => {
    // The first findings are enough here: the whole sheet of a crew member takes a while on a busy machine.
    const { page, foreign, complaints, close } = await openBench(ground, {}, false)
    await page.waitForSelector('.finding', { timeout: 100_000 })
    expect(await page.textContent('h1')).toBe('The keeper')
    expect(await page.textContent('.scale-line')).toContain('28.0 mm to the eye line')
    expect(await page.locator('.track').count()).toBeGreaterThanOrEqual(4)
    expect(await page.locator('.finding').count()).toBeGreaterThan(0)
    expect(await page.textContent('.cautions')).toContain('not for children under three')
    // The canvas holds a figure: inked pixels beside empty ones.
    const inked = () =>
      page.evaluate(() => {
        const canvas = document.querySelector<HTMLCanvasElement>('canvas.solid')!
        const copy = document.createElement('canvas')
        copy.width = canvas.width
        copy.height = canvas.height
        const pen = copy.getContext('2d')!
        pen.drawImage(canvas, 0, 0)
        const { data } = pen.getImageData(0, 0, copy.width, copy.height)
        let n = 0
        for (let i = 3; i < data.length; i += 4) if (data[i] > 0) n++
        return n / (data.length / 4)
      })
    // A worker draws it: its frame reaches the page a moment after it is done.
    await expect.poll(inked, { timeout: 10_000 }).toBeGreaterThan(0.1)
    expect(await inked()).toBeLessThan(0.9)
    expect(foreign).toEqual([])
    expect(complaints).toEqual([])
    await close()
  })

  test('scrubs figure, log and section by keyboard, layer by layer', async () => {
    const { page } = await fresh()
    await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
    const before = await heightOf(page)
    const title = await page.textContent('#section-title')
    await page.keyboard.press('ArrowUp')
    await page.keyboard.press('ArrowUp')
    // The page draws a moment after the key: wait for it rather than for luck.
    await expect.poll(async () => (await heightOf(page)) - before, { timeout: 5000 }).toBeGreaterThan(0.1)
    expect((await heightOf(page)) - before).toBeLessThan(0.26)
    await expect.poll(() => page.textContent('#section-title'), { timeout: 5000 }).not.toBe(title)
    await page.keyboard.press('Home')
    expect(await page.textContent('.section .faint')).toContain('layer 1 of')
    await page.keyboard.press('PageUp')
    expect(await heightOf(page)).toBeGreaterThan(0.9)
    const turned = page.getByRole('slider', { name: 'Turn of the figure' })
    await page.keyboard.press('ArrowRight')
    expect(await turned.getAttribute('aria-valuenow')).toBe('5')
  })

  test('the section draws the beads of the layer and says in words what lies there; the most telling tracks stand in the log', async () => {
    const { page } = await fresh()
    expect(await page.locator('.track').count()).toBeGreaterThanOrEqual(7)
    expect(await page.textContent('.under-log')).toMatch(/\d of \d\d tracks stand here/)
    await page.getByRole('slider', { name: 'Height that is looked at' }).focus()
    await page.keyboard.press('Home')
    for (let n = 0; n < 12; n++) await page.keyboard.press('ArrowUp')
    await expect.poll(() => page.locator('.plan .beads path').count(), { timeout: 5000 }).toBeGreaterThan(2)
    expect(await page.textContent('.section .piece')).toMatch(/beads? round/)
    expect(await page.textContent('.section .key')).toContain('Beads to scale')
    expect(await page.textContent('.scale-line')).toMatch(/\d g · \d+ min/)
  })

  test('scrubs by pointer over the log, and turns by dragging without losing the height', async () => {
    const { page } = await fresh()
    const log = (await page.locator('.track-plot').first().boundingBox())!
    await page.mouse.move(log.x + 30, log.y + log.height * 0.7)
    const low = await heightOf(page)
    await page.mouse.move(log.x + 30, log.y + log.height * 0.4)
    expect(await heightOf(page)).toBeGreaterThan(low + 3)
    // Away from the drawing it is the height that was set; a click sets the one under the pointer.
    await page.mouse.move(5, 5)
    const atFirst = await heightOf(page)
    expect(Math.abs(atFirst - low)).toBeGreaterThan(1)
    await page.mouse.click(log.x + 30, log.y + log.height * 0.7)
    await page.mouse.move(5, 5)
    expect(await heightOf(page)).toBeCloseTo(low, 1)
    const turnNow = async () =>
      Number(await page.getByRole('slider', { name: 'Turn of the figure' }).getAttribute('aria-valuenow'))
    const before = await turnNow()
    const stage = (await page.locator('canvas.solid').boundingBox())!
    await page.mouse.move(stage.x + stage.width * 0.3, stage.y + stage.height * 0.62)
    const height = await heightOf(page)
    await page.mouse.down()
    await page.mouse.move(stage.x + stage.width * 0.3 + 110, stage.y + stage.height * 0.62 + 60)
    await page.mouse.up()
    expect((((await turnNow()) - before) % 360) + (before > 302 ? 360 : 0)).toBe(57)
    expect(await heightOf(page)).toBeCloseTo(height, 1)
  })

  test('joins flags, findings and heights: the next finding is scrubbed to', async () => {
    const { page } = await fresh()
    await page.keyboard.press('.')
    const first = page.locator('.finding.chosen')
    expect(await first.count()).toBe(1)
    const words = (await first.locator('.numbers').textContent()) ?? ''
    const [from, to = from] = words.split(' mm up')[0].split('–').map(Number)
    const height = await heightOf(page)
    expect(height).toBeGreaterThanOrEqual(from - 0.3)
    expect(height).toBeLessThanOrEqual(to + 0.3)
    expect(await page.locator('.flag.chosen').count()).toBe(1)
    await first.locator('summary').click()
    expect(((await first.locator('.why').first().textContent()) ?? '').length).toBeGreaterThan(20)
    await page.keyboard.press('Escape')
    expect(await page.locator('.finding.chosen').count()).toBe(0)
  })
})

describe('files', () => {
  test('a dropped file is examined, and a remedy can be tried by key and taken back', async () => {
    const { page, complaints } = await fresh()
    const lineBefore = await page.textContent('.scale-line')
    const title = await page.locator('.finding .look').first().textContent()
    expect(title).toBeTruthy()
    const remedy = page.locator('.remedy:not(:disabled)').first()
    const letter = (await remedy.locator('kbd').textContent())!
    const label = (await remedy.locator('.remedy-label').textContent())!
    expect(letter).toBe('a')
    await page.keyboard.press(letter)
    const taken = label.replace(/ \(in the sculpt.*/, '')
    await page.waitForSelector(`.steps [aria-current]:has-text("${taken}")`)
    await untilWhole(page)
    const findingsAfter = await page.locator('.findings').textContent()
    await page.keyboard.press('Control+z')
    await page.waitForFunction((line) => document.querySelector('.scale-line')?.textContent === line, lineBefore)
    await untilWhole(page)
    expect(complaints).toEqual([])
    expect(await page.locator('.finding .look').first().textContent()).toBe(title)
    await page.keyboard.press('Control+Shift+z')
    await page.waitForSelector(`.steps [aria-current]:has-text("${taken}")`)
    await untilWhole(page)
    expect(await page.locator('.findings').textContent()).toBe(findingsAfter)
    expect(complaints).toEqual([])
  })

  test('a broken file is refused in one sentence and the sheet before it stays', async () => {
    const { page, complaints } = await fresh()
    const steps = await page.locator('.steps li').count()
    await dropFile(page, 'broken.stl', BROKEN_STL)
    const trouble = page.locator('.troubles p')
    await trouble.first().waitFor()
    expect(await trouble.first().textContent()).toMatch(/line 7/i)
    await untilWhole(page)
    expect(await page.textContent('h1')).toContain('fin')
    expect(await page.locator('.steps li').count()).toBe(steps)
    await page.getByRole('button', { name: 'Understood' }).click()
    expect(await trouble.count()).toBe(0)
    await dropFile(page, 'empty.stl', '')
    expect(await trouble.first().textContent()).toContain('empty')
    expect(complaints).toEqual([])
  })

  test('work can be stopped, and the bench goes on working afterwards', async () => {
    const { page, complaints, close } = await openBench(ground, {}, false)
    await page.getByRole('button', { name: 'Stop' }).press('Enter')
    await page.waitForSelector('.working', { state: 'detached' })
    await dropFile(page, 'fin.stl', FIN_FIGURE)
    await untilWhole(page)
    expect(await page.textContent('h1')).toBe('fin')
    expect(complaints).toEqual([])
    await close()
  })

  test('settings are one step; what is out of range is said beside its field', async () => {
    const { page } = await fresh()
    const steps = await page.locator('.steps li').count()
    await page.getByRole('button', { name: 'Size and recipe' }).click()
    await page.getByLabel('Layer height', { exact: true }).fill('9')
    await page.getByRole('button', { name: 'Examine with these' }).click()
    expect(await page.textContent('#layerHeightMm-help')).toContain('must lie between')
    await page.getByLabel('Layer height', { exact: true }).fill('0,2')
    await page.getByRole('button', { name: 'Examine with these' }).click()
    await page.waitForSelector('.scale-line:has-text("layers of 0.20 mm")')
    await untilWhole(page)
    expect(await page.locator('.steps li').count()).toBe(steps + 1)
    await page.keyboard.press('?')
    expect(await page.locator('dialog').textContent()).toContain('Take the last step back')
    await page.keyboard.press('Escape')
    await page.waitForSelector('dialog', { state: 'detached' })
  })

  test('a line of the recipe is a step; the flow remedy it calls for can be tried and taken back', async () => {
    const { page, complaints } = await fresh()
    const set = async (percent: string) => {
      await page.getByRole('button', { name: 'Size and recipe' }).click()
      await page.getByLabel('Flow share', { exact: true }).fill(percent)
      await page.getByRole('button', { name: 'Examine with these' }).click()
    }
    await set('300')
    expect(await page.textContent('#flowShare-help')).toContain('must lie between 70 and 130 %')
    await page.keyboard.press('Escape')
    await page.waitForSelector('dialog', { state: 'detached' })
    await set('115')
    await page.waitForSelector('.steps [aria-current]:has-text("flow share 115 %")')
    await untilWhole(page)
    await page.getByRole('button', { name: 'Size and recipe' }).click()
    expect(await page.locator('.field.differs').count()).toBe(1)
    expect(await page.textContent('#flowShare-help')).toContain('Starting recipe: 95 %')
    await page.keyboard.press('Escape')
    await page.waitForSelector('dialog', { state: 'detached' })
    const weight = async () => Number(/([\d.]+) g/.exec((await page.textContent('.scale-line')) ?? '')?.[1])
    const heavy = await weight()
    await page.locator('.look', { hasText: 'has no room' }).first().click()
    const remedy = page.locator('.remedy:not(:disabled)', { hasText: 'lower the flow to' }).first()
    await remedy.click()
    await page.waitForSelector('.steps [aria-current]:has-text("lower the flow")')
    await untilWhole(page)
    expect(await weight()).toBeLessThan(0.95 * heavy)
    await page.keyboard.press('Control+z')
    await page.waitForSelector('.steps [aria-current]:has-text("flow share 115 %")')
    await untilWhole(page)
    expect(await weight()).toBe(heavy)
    expect(complaints).toEqual([])
  })

  test('a dropped recipe is examined with; a wrong one is refused with key, value and range', async () => {
    const { page, complaints } = await fresh()
    const recipe = { ...STARTING_RECIPE, name: 'two shells', nShells: 2, cornerSpeedMmPerS: 8 }
    await dropFile(page, 'wrong.json', JSON.stringify({ ...recipe, nozzleC: 1950 }))
    await page.locator('.troubles p').first().waitFor()
    expect(await page.textContent('.troubles')).toContain('nozzleC is 1950; it must be 150 to 320 deg C')
    await page.getByRole('button', { name: 'Understood' }).click()
    await dropFile(page, 'two-shells.json', JSON.stringify(recipe))
    await page.waitForSelector('.steps [aria-current]:has-text("recipe two shells")')
    await untilWhole(page)
    expect(await page.textContent('.title-block')).toContain('2 shells')
    await page.getByRole('button', { name: 'Size and recipe' }).click()
    expect(await page.textContent('.others')).toContain('corner speed: 8 mm/s instead of 5 mm/s')
    expect(complaints).toEqual([])
  })
})

describe('elsewhere', () => {
  test('prints on two pages of A4 and of Letter in light inks, every finding at least in a line', async () => {
    const { page, close } = await openWithFin(ground, { colorScheme: 'dark' })
    const lengths: number[] = []
    for (const format of ['A4', 'Letter'] as const) {
      const pdf = await page.pdf({ format, printBackground: true })
      const pages = pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []
      lengths.push(pages.length)
    }
    expect(lengths).toEqual([2, 2])
    // A comparison goes onto the same two pages.
    await page.keyboard.press('=')
    await page.waitForSelector('.whatif')
    await page.keyboard.press('a')
    await page.waitForSelector('.steps li:nth-child(2) [aria-current]')
    await untilWhole(page)
    await page.waitForSelector('.worth')
    const compared = await page.pdf({ format: 'Letter', printBackground: true })
    expect(compared.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length).toBeLessThanOrEqual(2)
    await page.emulateMedia({ media: 'print' })
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe('rgb(255, 255, 255)')
    expect(await page.locator('.tools').isVisible()).toBe(false)
    const words = (await page.textContent('.findings-head p')) ?? ''
    const counted = [...words.matchAll(/\d+/g)].reduce((sum, [n]) => sum + Number(n), 0)
    // The page hears of the other medium with its next frame, so the whole list comes a moment later.
    await expect.poll(() => page.locator('.finding').count(), { timeout: 10_000 }).toBe(counted)
    const right = await page.evaluate(() =>
      Math.max(...[...document.querySelectorAll('.track, .elevation')].map((e) => e.getBoundingClientRect().right)),
    )
    expect(right).toBeLessThanOrEqual(705)
    await close()
  })

  test('draws the figure on the page where a worker cannot, and from its outlines where there is no WebGL', async () => {
    const onPage = await ground.browser.newContext({ serviceWorkers: 'block' })
    await onPage.addInitScript(() => {
      Reflect.deleteProperty(HTMLCanvasElement.prototype, 'transferControlToOffscreen')
    })
    const near = await onPage.newPage()
    await near.goto(ground.served.address)
    await near.waitForSelector('canvas.solid[data-drawn="yes"]')
    expect(await near.evaluate(() => document.querySelector('canvas')?.getContext('webgl2') !== null)).toBe(true)
    await onPage.close()

    const context = await ground.browser.newContext({ serviceWorkers: 'block' })
    await context.addInitScript(() => {
      // No worker gets a context either: what is handed to it is no canvas that draws.
      Reflect.deleteProperty(HTMLCanvasElement.prototype, 'transferControlToOffscreen')
      HTMLCanvasElement.prototype.getContext = () => null
    })
    const page = await context.newPage()
    await page.goto(ground.served.address)
    await page.waitForSelector('.drawn svg path', { state: 'attached' })
    expect(await page.getAttribute('.drawn svg', 'aria-label')).toBe('The figure in elevation')
    await context.close()
  })

  test('needs no sideways scrolling of the page or, at a desk, of the log', async () => {
    const { page } = await fresh()
    for (const width of [360, 800, 1024, 1440, 2560]) {
      await page.setViewportSize({ width, height: 900 })
      await expect
        .poll(() => page.evaluate(() => document.documentElement.scrollWidth), { timeout: 10_000 })
        .toBeLessThanOrEqual(width)
      if (width < 620) continue
      const log = () => page.locator('.log').evaluate((e) => e.scrollWidth - e.clientWidth)
      await expect.poll(log, { timeout: 10_000 }).toBeLessThanOrEqual(1)
      // No caption is cut: each stands whole above its plot.
      const cut = () =>
        page.locator('.track-head').evaluateAll(
          (heads) =>
            heads.filter((head) => {
              const words = head.firstElementChild!
              return (
                words.scrollWidth > head.clientWidth + 1 || words.getBoundingClientRect().height > head.clientHeight
              )
            }).length,
        )
      await expect.poll(cut, { timeout: 10_000 }).toBe(0)
    }
    await page.setViewportSize({ width: 1280, height: 900 })
  })
})
