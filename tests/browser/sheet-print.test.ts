// The sheet in a real browser: no script runs, it prints on two pages of A4 and of Letter, and it is accessible.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import axe from 'axe-core'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { sheetHtml } from '../../src/guide/index.ts'
import { fettle, scratchFolder } from '../command/run-fettle.ts'
import { sampleExamination } from '../examination-sample.ts'
import { findBrowser } from './find-browser.ts'

/** The sample with as many findings as a bad figure has. */
const full = (() => {
  const sample = sampleExamination()
  const findings = Array.from({ length: 20 }, (_, i) => ({
    ...sample.findings[i % 2],
    why: `${sample.findings[0].why} `.repeat(6),
    remedies: [...sample.findings[0].remedies, ...sample.findings[0].remedies],
    title: `${sample.findings[i % 2].title}, number ${i + 1} of many, in a sentence as long as they get`,
  }))
  return { ...sample, findings, tracks: [...sample.tracks, sample.tracks[0]] }
})()
const html = sheetHtml(full, {
  toolVersion: '0.1.0',
  fileName: 'pillar.stl',
  fileSha256: 'ab'.repeat(32),
  settingsSha256: 'cd'.repeat(32),
})

const folder = scratchFolder()
let browser: Browser
beforeAll(async () => {
  browser = await chromium.launch(await findBrowser())
})
afterAll(() => browser.close())

test.each(['A4', 'Letter'])('two pages on %s', async (format) => {
  const page = await browser.newPage()
  await page.setContent(html)
  const pdf = (await page.pdf({ format })).toString('latin1')
  expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(2)
  await page.close()
})

test('nothing is loaded, nothing runs, nothing is wider than a small screen', async () => {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 } })
  const page = await context.newPage()
  const asked: string[] = []
  page.on('request', (request) => asked.push(request.url()))
  await page.setContent(html)
  expect(asked.filter((url) => !url.startsWith('data:') && url !== 'about:blank')).toEqual([])
  expect(await page.locator('script').count()).toBe(0)
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360)
  await context.close()
})

test('no accessibility faults', async () => {
  const context = await browser.newContext({ bypassCSP: true })
  const page = await context.newPage()
  await page.setContent(html)
  await page.evaluate(axe.source)
  const { violations } = await page.evaluate(() => (globalThis as unknown as { axe: typeof axe }).axe.run())
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
  await context.close()
})

test('a built-in figure with its print, two rows of tracks and many findings stays on two pages', async () => {
  await fettle(['examine', 'crew:lamplighter', '--quiet', '--sheet', 'lamplighter.html', '-o', 'out.txt'], {
    cwd: folder,
  })
  const written = readFileSync(join(folder, 'lamplighter.html'), 'utf8')
  for (const part of ['The print', 'melt rate', 'The recipe in force']) expect(written).toContain(part)
  for (const format of ['A4', 'Letter']) {
    const page = await browser.newPage()
    await page.setContent(written)
    const pdf = (await page.pdf({ format })).toString('latin1')
    expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(2)
    await page.close()
  }
})
