// Guide and hand-out in a real browser: nothing is loaded and nothing runs, they print on A4 and Letter, and they are accessible.

import axe from 'axe-core'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { cleanPhoto, handOutHtml, publishHtml } from '../../src/guide/index.ts'
import { sampleContent } from '../guide-sample.ts'
import { findBrowser } from './find-browser.ts'

let browser: Browser
beforeAll(async () => {
  browser = await chromium.launch(await findBrowser())
})
afterAll(() => browser.close())

describe.each([
  ['guide', publishHtml],
  ['hand-out', handOutHtml],
] as const)('%s', (name, made) => {
  const html = made(sampleContent())

  test('nothing is loaded, nothing runs, nothing is wider than a small screen', async () => {
    const context = await browser.newContext({ viewport: { width: 360, height: 740 } })
    const page = await context.newPage()
    const asked: string[] = []
    const said: string[] = []
    page.on('request', (request) => asked.push(request.url()))
    page.on('console', (message) => said.push(message.text()))
    page.on('dialog', (dialog) => {
      said.push(dialog.message())
      void dialog.dismiss()
    })
    await page.setContent(html)
    expect(asked.filter((url) => !url.startsWith('data:') && url !== 'about:blank')).toEqual([])
    expect(said).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360)
    expect(await page.locator('h1').count()).toBe(1)
    await context.close()
  })

  test.each(['light', 'dark'] as const)('no accessibility faults, %s', async (colorScheme) => {
    const context = await browser.newContext({ bypassCSP: true, colorScheme })
    const page = await context.newPage()
    await page.setContent(html)
    await page.evaluate(axe.source)
    const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run())
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
    await context.close()
  })

  test.each(['A4', 'Letter'] as const)(
    'set for %s it prints on that paper, and nothing is cut off at the side',
    async (paper) => {
      const page = await browser.newPage()
      await page.setContent(made(sampleContent({ paper })))
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
      const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? []
      const wanted = paper === 'A4' ? [595, 842] : [612, 792]
      expect(Math.abs(Number(width) - wanted[0])).toBeLessThan(2)
      expect(Math.abs(Number(height) - wanted[1])).toBeLessThan(2)
      const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0
      expect(pages).toBeGreaterThan(1)
      expect(pages).toBeLessThan(name === 'guide' ? 11 : 5)
      await page.emulateMedia({ media: 'print' })
      await page.setViewportSize({ width: paper === 'A4' ? 688 : 710, height: 900 })
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
      ).toBe(0)
      // Cautions are never left out on paper.
      expect(await page.locator('.cautions').isVisible()).toBe(true)
      await page.close()
    },
  )
})

test('the sculpt can be taken out of the page where it was put in', async () => {
  const page = await browser.newPage()
  const bytes = new TextEncoder().encode('solid keeper')
  await page.setContent(publishHtml(sampleContent({ sculpt: { name: 'keeper.stl', bytes } })))
  const [download] = await Promise.all([page.waitForEvent('download'), page.locator('a[download]').click()])
  expect(download.suggestedFilename()).toBe('keeper.stl')
  await page.close()
})

/** Notes of a camera: which way up (6: turned by a quarter), and a place. */
const exifNotes = (): number[] => {
  const ascii = (text: string) => [...text].map((c) => c.charCodeAt(0))
  const inside = [
    ...ascii('Exif\0\0II*\0'),
    ...[8, 0, 0, 0, 1, 0, 0x12, 1, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0, 0, 0, 0, 0],
    ...ascii('GPS 52 12 N'),
  ]
  return [0xff, 0xe1, 0, inside.length + 2, ...inside]
}

test.each(['image/jpeg', 'image/png', 'image/webp'] as const)(
  'a photograph of type %s looks as before when it is cleaned, dot by dot',
  async (mime) => {
    const page = await browser.newPage()
    const drawn = await page.evaluate(async (type) => {
      const canvas = document.createElement('canvas')
      canvas.width = 90
      canvas.height = 40
      const ink = canvas.getContext('2d')!
      for (let i = 0; i < 90; i++) {
        ink.fillStyle = `hsl(${4 * i} 80% 50%)`
        ink.fillRect(i, 0, 1, 40 - (i % 17))
      }
      const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, type, 0.8))
      return Array.from(new Uint8Array(await blob!.arrayBuffer()))
    }, mime)
    const noted = mime === 'image/jpeg' ? [...drawn.slice(0, 2), ...exifNotes(), ...drawn.slice(2)] : drawn
    const clean = cleanPhoto(Uint8Array.from(noted))
    if (!clean?.ok) throw new Error('refused')
    expect(String.fromCharCode(...clean.value.bytes)).not.toContain('GPS')
    const dots = (bytes: readonly number[]) =>
      page.evaluate(
        async ([given, type]) => {
          const image = new Image()
          image.src = URL.createObjectURL(new Blob([Uint8Array.from(given)], { type }))
          await image.decode()
          const canvas = document.createElement('canvas')
          canvas.width = image.naturalWidth
          canvas.height = image.naturalHeight
          const ink = canvas.getContext('2d')!
          ink.drawImage(image, 0, 0)
          return {
            size: [canvas.width, canvas.height],
            dots: Array.from(ink.getImageData(0, 0, canvas.width, canvas.height).data),
          }
        },
        [bytes, mime] as const,
      )
    const before = await dots(noted)
    const after = await dots([...clean.value.bytes])
    expect(after.dots.some((value) => value !== after.dots[0])).toBe(true)
    expect(after).toEqual(before)
    expect([clean.value.widthPx, clean.value.heightPx]).toEqual(after.size)
    // The turn that the camera noted is still heeded.
    expect(after.size).toEqual(mime === 'image/jpeg' ? [40, 90] : [90, 40])
    await page.close()
  },
)
