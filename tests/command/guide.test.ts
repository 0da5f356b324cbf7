// The verb "guide": the form, the page, the hand-out, the PDF, and a page opened again.

import { mkdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readPublished } from '../../src/guide/index.ts'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'
import { findBrowser } from '../browser/find-browser.ts'
import { SAMPLE_ABOUT, SAMPLE_TRIALS, sampleContent, TINY_PNG } from '../guide-sample.ts'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const json = (name: string, value: unknown) => writeBytes(folder, name, JSON.stringify(value))
writeBytes(folder, 'post.stl', POST)
writeBytes(folder, 'photo.png', TINY_PNG)
json('evening.json', { ...STARTING_RECIPE, name: 'evening', nozzleC: 195 })
json('trials.json', SAMPLE_TRIALS)
json('carried.json', {
  form: 'fettle-carried-over',
  version: 1,
  recipe: { printer: 'direct feed', filament: 'plain PLA' },
  ...sampleContent().carried[0],
})
const photos = [{ file: 'photo.png', alt: 'the post', caption: '', scale: 'steel rule' }]
json('about.json', { ...SAMPLE_ABOUT, photos })
json('closed.json', { ...SAMPLE_ABOUT, sculpt: { ...SAMPLE_ABOUT.sculpt, mayBeGivenAway: false } })
const words = ['guide', 'post.stl', '--scale-height', '28', '--recipe', 'evening.json', '--quiet']
const page = (name: string) => readFileSync(join(folder, name), 'utf8')

test('the form comes out, and is refused until it is filled in, every line named', async () => {
  await fettle(['guide', 'about', '-o', 'empty.json'], inFolder)
  const refused = await fettle([...words, '--about', 'empty.json'], inFolder)
  expect(refused.code).toBe(3)
  for (const key of ['title', 'date', 'author', 'sculpt.maker', 'sculpt.licence', 'sculpt.leave'])
    expect(refused.err).toContain(`${key}: `)
})

test('a page with everything, a hand-out, and the recipe back out of the page', async () => {
  const made = await fettle(
    [
      ...words,
      ...['--about', 'about.json', '--trials', 'trials.json', '--carried', 'carried.json', '--paper', 'A4'],
      ...['-o', 'post.html', '--hand-out', 'class.html'],
    ],
    inFolder,
  )
  expect([made.code, made.err, made.out]).toEqual([0, '', ''])
  const html = page('post.html')
  for (const part of [
    'strings 0 of 4',
    'direct feed, plain PLA',
    'data:image/png;base64,',
    'not in this page',
    '28 mm from sole to eye line',
  ])
    expect(html).toContain(part)
  expect(page('class.html')).toContain('What do you expect?')
  const again = await fettle(['guide', 'open', 'post.html', '-o', 'again.json', '--printer-out', 'card.json'], inFolder)
  expect(again.code).toBe(0)
  expect(JSON.parse(page('again.json'))).toEqual(JSON.parse(page('evening.json')))
  expect((await fettle(['recipe', 'check', 'card.json'], inFolder)).code).toBe(0)
  expect((await fettle(['guide', 'open', 'post.html'], inFolder)).out).toContain('recipe: evening')
  // The same input gives the same page, byte for byte.
  await fettle([...words, '--about', 'about.json', '-o', 'one.html'], inFolder)
  await fettle([...words, '--about', 'about.json', '-o', 'two.html'], inFolder)
  expect(page('one.html')).toBe(page('two.html'))
})

test('trials come from a notebook too', async () => {
  await fettle(['notebook', 'add', 'ferry.notebook', 'trials.json'], inFolder)
  await fettle([...words, '--about', 'about.json', '--trials', 'ferry.notebook', '-o', 'kept.html'], inFolder)
  expect(page('kept.html')).toContain('strings 3 of 4')
})

test('the sculpt goes along only when asked for and allowed', async () => {
  const refused = await fettle([...words, '--about', 'closed.json', '--with-sculpt'], inFolder)
  expect([refused.code, refused.err]).toEqual([2, expect.stringContaining('may not be given away')])
  const made = await fettle([...words, '--about', 'about.json', '--with-sculpt'], inFolder)
  expect(made.out).toContain(`base64,${Buffer.from(POST).toString('base64')}`)
})

test('photographs outside the folder of the form, or that are none, are refused', async () => {
  for (const [file, sentence] of [
    ['../../etc/passwd', /must stand in the folder/],
    ['/etc/passwd', /must stand in the folder/],
    ['post.stl', /none of JPEG, PNG and WebP/],
    ['none.png', /there is no such file/],
  ] as const) {
    json('bad.json', { ...SAMPLE_ABOUT, photos: [{ ...photos[0], file }] })
    const ran = await fettle([...words, '--about', 'bad.json'], inFolder)
    expect(ran.err).toMatch(sentence)
    expect(ran.code).toBe(3)
  }
})

test.each([
  [['guide', 'open', 'post.stl'], 3, /not a guide/],
  [['guide', 'post.stl'], 2, /--about says/],
  [['guide', 'open'], 2, /guide takes/],
  [['guide'], 2, /guide takes/],
  [['guide', 'post.stl', '--about', 'about.json', '-o', 'x', '--pdf', 'x'], 2, /two results/],
])('%s: exit code %i and a sentence', async (given, code, sentence) => {
  const ran = await fettle(given, inFolder)
  expect(ran.err).toMatch(sentence)
  expect([ran.code, ran.out]).toEqual([code, ''])
})

// The browser that npm brings prints for its driver only, not by itself.
const { executablePath } = await findBrowser()
const isInstalled = !executablePath.includes('.cache')

test.skipIf(!isInstalled)('printed as PDF by a browser of the machine', async () => {
  const env = { FETTLE_BROWSER: executablePath }
  const made = await fettle(
    [...words, '--about', 'about.json', '--paper', 'Letter', '-o', 'printed.html', '--pdf', 'printed.pdf'],
    { ...inFolder, env },
  )
  expect([made.code, made.err]).toEqual([0, ''])
  const pdf = readFileSync(join(folder, 'printed.pdf'), 'latin1')
  expect(pdf.startsWith('%PDF-')).toBe(true)
  expect(pdf).toMatch(/\/MediaBox \[0 0 612(\.\d+)? 792(\.\d+)?\]/)
  expect(readPublished(page('printed.html')).ok).toBe(true)
})

test('where no browser is found that is said, before any work is done', async () => {
  mkdirSync(join(folder, 'bare'))
  const bare = { PATH: join(folder, 'bare'), FETTLE_BROWSER: '' }
  const none = await fettle([...words, '--about', 'about.json', '--pdf', 'none.pdf'], { ...inFolder, env: bare })
  expect([none.code, none.out]).toEqual([3, ''])
  expect(none.err).toMatch(/no browser was found.*FETTLE_BROWSER/)
})
