// The verb "examine" as a child process: output, files, exit codes, carrying on, stopping.

import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'
import { fettle, POST, POST_AND_FLOATER, scratchFolder, startFettle, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)
writeBytes(folder, 'floater.stl', POST_AND_FLOATER)
writeBytes(folder, 'torn.stl', POST.subarray(0, 300))
writeBytes(folder, 'words.stl', 'the night ferry leaves at nine')
const AS_DRAWN = ['--unit', 'mm', '--total-height', '30']

test('a good figure: report of 80 columns, nothing on standard error, exit code 0', async () => {
  const { code, out, err } = await fettle(['examine', 'post.stl', ...AS_DRAWN], inFolder)
  expect([code, err]).toEqual([0, ''])
  const lines = out.split('\n')
  expect(lines[0]).toBe('post')
  expect(lines[1]).toMatch(/30 mm tall · 1920 mm3 · 299 layers of 0\.10 mm/)
  expect(lines.filter((line) => line.length > 80)).toEqual([])
  expect(out).toContain('Height log')
  expect(out).toContain('not for children under three')
  expect(out).not.toContain('\u001b')
})

test('a part that starts in mid air breaks, and --fail-on breaks gives 1', async () => {
  const { code, out } = await fettle(['examine', 'floater.stl', ...AS_DRAWN, '--fail-on', 'breaks'], inFolder)
  expect(code).toBe(1)
  expect(out).toMatch(/▲ breaks: .*air/)
  expect(out).toContain('20.0')
  const without = await fettle(['examine', 'floater.stl', ...AS_DRAWN], inFolder)
  expect(without.code).toBe(0)
})

test('bad files: a sentence with file and place, exit code 3, the others still examined, a summary', async () => {
  const { code, out, err } = await fettle(
    ['examine', 'torn.stl', 'missing.stl', 'post.stl', 'words.stl', '--color', 'never'],
    inFolder,
  )
  expect(code).toBe(3)
  expect(out.split('\n')[0]).toBe('post')
  expect(err).toMatch(/fettle: torn\.stl: .+/)
  expect(err).toContain('fettle: missing.stl: there is no such file')
  expect(err).toContain('1 of 4 files examined; not these:')
  expect(err).not.toMatch(/\bat .+\.m?js:\d+/)
})

test('--json: one object a line and a file, versioned, the same in two runs', async () => {
  const words = ['examine', 'post.stl', 'torn.stl', 'floater.stl', '--json', '--quiet', ...AS_DRAWN]
  const [first, second] = [await fettle(words, inFolder), await fettle(words, inFolder)]
  expect(first.out).toBe(second.out)
  expect(first.code).toBe(3)
  const [post, torn, floater] = first.out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
  expect([post.form, post.version, post.summary.name]).toEqual(['fettle-sheet', 1, 'post'])
  expect(post.source.sha256).toMatch(/^[0-9a-f]{64}$/)
  expect(post.settings.layerHeightMm).toBe(0.1)
  expect(post.layers.areaMm2[100]).toBeCloseTo(64, 3)
  expect([torn.form, torn.version, torn.fileName]).toEqual(['fettle-trouble', 1, 'torn.stl'])
  expect(torn.issues[0].code).toMatch(/^mesh\//)
  expect(floater.findings.some((finding: { severity: string }) => finding.severity === 'breaks')).toBe(true)
})

test('a sheet is written whole, and never over a file without --force', async () => {
  const words = ['examine', 'post.stl', '--sheet', 'post.html', '--out', 'post.txt']
  const first = await fettle(words, inFolder)
  expect([first.code, first.out]).toEqual([0, ''])
  const html = readFileSync(join(folder, 'post.html'), 'utf8')
  expect(html.startsWith('<!doctype html>')).toBe(true)
  expect(html.trimEnd().endsWith('</html>')).toBe(true)
  expect(readFileSync(join(folder, 'post.txt'), 'utf8')).toContain('Height log')
  const second = await fettle(words, inFolder)
  expect(second.code).toBe(2)
  expect(second.err).toContain('post.html is there already; give --force')
  const forced = await fettle([...words, '--force'], inFolder)
  expect(forced.code).toBe(0)
  expect(readFileSync(join(folder, 'post.html'), 'utf8')).toBe(html)
  expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
})

test('several sheets go into a folder; a single name is refused before any work', async () => {
  const good = await fettle(['examine', 'post.stl', 'floater.stl', '--sheet', 'sheets/', '-q'], inFolder)
  expect([good.code, good.err]).toEqual([0, ''])
  expect(readdirSync(join(folder, 'sheets')).sort()).toEqual(['floater.html', 'post.html'])
  const bad = await fettle(['examine', 'post.stl', 'floater.stl', '--sheet', 'one.html'], inFolder)
  expect(bad.code).toBe(2)
  expect(bad.err).toContain('several files need a folder')
  expect(existsSync(join(folder, 'one.html'))).toBe(false)
})

test('standard input is read with -', async () => {
  const { code, out } = await fettle(['examine', '-', '--json', ...AS_DRAWN], { ...inFolder, stdin: POST })
  expect(code).toBe(0)
  expect(JSON.parse(out).source.fileName).toBe('standard input')
})

test('settings reach the engine: size, stance, beads, recipe', async () => {
  const stood = ['--stance', '90,0,0', '--layer-height', '0.2', '--first-layer-height', '0.2', '--bead-width', '0.6']
  const { code, out } = await fettle(['examine', 'post.stl', '--json', '--total-height', '30', ...stood], inFolder)
  expect(code).toBe(0)
  const { settings, summary } = JSON.parse(out)
  expect(settings.stance.aboutX).toBeCloseTo(Math.PI / 2, 5)
  expect([settings.layerHeightMm, settings.beadWidthMm]).toEqual([0.2, 0.6])
  expect(summary.totalHeightMm).toBeCloseTo(8, 4)
  expect(summary.nLayers).toBe(40)
  mkdirSync(join(folder, 'recipes'))
  const recipe = writeBytes(folder, 'recipes/fine.json', '{"form": "fettle-recipe", "version": 1, "layerHeight": 5}')
  const wrong = await fettle(['examine', 'post.stl', '--recipe', recipe], inFolder)
  expect(wrong.code).toBe(3)
  expect(wrong.err).toContain('layerHeight')
  const fine = writeBytes(
    folder,
    'recipes/right.json',
    JSON.stringify({ ...STARTING_RECIPE, layerHeightMm: 0.08, nShells: 2 }),
  )
  const words = ['examine', 'post.stl', '--json', '--recipe', fine, '--shells', '4']
  const right = JSON.parse((await fettle(words, inFolder)).out)
  expect([right.settings.layerHeightMm, right.settings.nShells]).toEqual([0.08, 4])
})

test.each([
  [['--layer-height', '7'], '--layer-height takes a number from 0.02 to 1 mm, not "7"'],
  [['--shells', '2.5'], '--shells takes a whole number from 1 to 20, not "2.5"'],
  [['--stance', '1,2'], '--stance takes three turns'],
  [['--scale-height', '28', '--ratio', '56'], 'give one of them'],
  [['--unit', 'ell'], "'ell' is invalid. Allowed choices are mm, cm, m, inch, foot, um."],
  [['--fail-on', 'all'], 'Allowed choices are breaks, marks, costs, note.'],
  [['--scale-heigth', '28'], 'did you mean --scale-height?'],
])('wrong use %j gives 2 and says what is right', async (words, said) => {
  const { code, out, err } = await fettle(['examine', 'post.stl', ...words], inFolder)
  expect([code, out]).toEqual([2, ''])
  expect(err).toContain(said)
})

test('colour: never into a pipe, always on request, and NO_COLOR is heeded', async () => {
  const always = await fettle(['examine', 'post.stl', '--color', 'always'], inFolder)
  expect(always.out).toContain('\u001b[1m')
  const plain = await fettle(['examine', 'post.stl'], { ...inFolder, env: { NO_COLOR: '1' } })
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape codes are what is looked for
  expect(always.out.replace(/\u001b\[\d+m/g, '')).toBe(plain.out)
})

test('--verbose tells the steps on standard error', async () => {
  const { err } = await fettle(['examine', 'post.stl', '--verbose'], inFolder)
  expect(err.split('\n').length).toBeGreaterThan(2)
  expect(err).toMatch(/^post\.stl: /)
})

test('Ctrl-C stops the work: exit code 130, no half files', async () => {
  // Standard input that never ends would hold it for ever; many files keep the worker busy instead.
  const many = Array.from({ length: 40 }, (_, i) => writeBytes(folder, `many-${i}.stl`, POST))
  const child = startFettle(['examine', ...many, '--sheet', 'stopped/', '--verbose'], folder)
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  child.stdin.end()
  await new Promise<void>((resolve) => child.stderr.once('data', () => resolve()))
  child.kill('SIGINT')
  expect(await ended).toBe(130)
  const left = existsSync(join(folder, 'stopped')) ? readdirSync(join(folder, 'stopped')) : []
  expect(left.length).toBeLessThan(many.length)
  expect(left.filter((name) => !name.endsWith('.html'))).toEqual([])
})
