// The verb "code" and "examine --code" as child processes: report, data, exit codes, malformed lines, round trip, standard input.

import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { createExaminer, EXAMINE_DEFAULTS } from '../../src/engine/examine/index.ts'
import { writeCode } from '../../src/engine/motioncode/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { fettle, POST, scratchFolder, startFettle, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const HAND = readFileSync('demo/mooring-post.gcode')
writeBytes(folder, 'hand.gcode', HAND)
writeBytes(folder, 'post.stl', POST)

const SQUARE = 'G28\nG1 X0 Y0 Z0.2 F600\nG1 X10 E0.4 F1200\nG1 Y10 E0.8\nG1 X0 E1.2\nG1 Y0 E1.6\n'

/** The plan of the post, written by our own writer, at a place of its own on the bed. */
const planned = async (): Promise<string> => {
  const outcome = await createExaminer(await loadPolygonKit()).examine(POST, 'post.stl', {
    ...EXAMINE_DEFAULTS,
    unit: 'mm',
    scale: { by: 'total-height', totalMm: 30 },
    layerHeightMm: 0.3,
    firstLayerHeightMm: 0.3,
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
const AS_PLANNED = ['--unit', 'mm', '--total-height', '30', '--layer-height', '0.3', '--first-layer-height', '0.3']

test('the file written by hand: roles, layers, strange words with lines, within 80 columns', async () => {
  const { code, out, err } = await fettle(['code', 'hand.gcode'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  expect(out.split('\n')[1]).toMatch(/^6 layers of 0\.20 mm · 1\.20 mm tall · 0\.031 g · \d+ s of printing$/)
  expect(out).toMatch(/outer shell +6 .*0\.450 mm/)
  expect(out).toMatch(/infill +8 /)
  expect(out).toContain('M777: once, line 13')
  expect(out).toMatch(/M201: once, line 14; acceleration limits of the axes/)
  expect(out).toContain('milliseconds, because the longest is 500')
  expect(out).toMatch(/roles \d+ %: /)
  expect(out.split('\n').length).toBeLessThan(100)
})

test('--json: one object, versioned, the same from a file and from standard input', async () => {
  const { code, out } = await fettle(['code', 'hand.gcode', '--json'], inFolder)
  expect(code).toBe(0)
  const data = JSON.parse(out)
  expect([data.form, data.version]).toEqual(['fettle-code', 1])
  expect(data.source.sha256).toMatch(/^[0-9a-f]{64}$/)
  expect(data.report.layers.shells).toEqual([2, 2, 2, 2, 2, 3])
  expect(data.report.roles.find(({ role }: { role: string }) => role === 'infill').n).toBe(8)
  expect(data.report.plan).toBeUndefined()
  const piped = JSON.parse((await fettle(['code', '-', '--json'], { ...inFolder, stdin: HAND })).out)
  expect(piped.source.fileName).toBe('standard input')
  expect({ ...piped, source: 0, report: { ...piped.report, name: '' } }).toEqual({
    ...data,
    source: 0,
    report: { ...data.report, name: '' },
  })
})

test('malformed lines come with line and column; --strict gives 1, otherwise 0', async () => {
  writeBytes(folder, 'odd.gcode', `${SQUARE}G1 X5 Y@ E2\nG1 X1 X2\n`)
  const plain = await fettle(['code', 'odd.gcode'], inFolder)
  expect(plain.code).toBe(0)
  expect(plain.out).toMatch(/Line 7, column 8: /)
  expect(plain.out).toMatch(/Line 8, column \d+: /)
  expect((await fettle(['code', 'odd.gcode', '--strict'], inFolder)).code).toBe(1)
  writeBytes(folder, 'even.gcode', SQUARE)
  expect((await fettle(['code', 'even.gcode', '--strict'], inFolder)).code).toBe(0)
  expect((await fettle(['code', 'even.gcode', '--all'], inFolder)).out).toContain('no acceleration: 300 mm/s2')
})

test('what is no print file, or is not there: a sentence, exit code 3; wrong use 2', async () => {
  writeBytes(folder, 'words.gcode', 'the night ferry leaves at nine\n')
  writeBytes(folder, 'still.gcode', 'G21\nG90\nG0 X5\n')
  for (const [name, said] of [
    ['words.gcode', /words\.gcode: /],
    ['still.gcode', /lays nothing/],
    ['gone.gcode', /gone\.gcode: there is no such file/],
    ['.', /it is a folder/],
  ] as const) {
    const { code, out, err } = await fettle(['code', name], inFolder)
    expect([code, out]).toEqual([3, ''])
    expect(err).toMatch(said)
    expect(err).not.toMatch(/\bat .+\.m?js:\d+/)
  }
  const data = JSON.parse((await fettle(['code', 'still.gcode', '--json'], inFolder)).out)
  expect([data.form, data.issues[0].code]).toEqual(['fettle-trouble', 'motioncode/no-beads'])
  expect((await fettle(['code'], inFolder)).code).toBe(2)
  expect((await fettle(['code', 'a', 'b'], inFolder)).code).toBe(2)
  expect((await fettle(['code', 'hand.gcode', '--dwell-unit', 'h'], inFolder)).code).toBe(2)
})

test('the unit of dwells can be given, and is then not guessed', async () => {
  const seconds = JSON.parse((await fettle(['code', 'hand.gcode', '--json', '--dwell-unit', 's'], inFolder)).out)
  const told = JSON.parse((await fettle(['code', 'hand.gcode', '--json'], inFolder)).out)
  expect(seconds.report.times.waitsS - told.report.times.waitsS).toBeCloseTo(500 - 0.5, 3)
  expect(seconds.report.decisions.join()).toContain('as was asked for')
})

test('a result is written whole and never over a file; texts of the file cannot reach the terminal raw', async () => {
  writeBytes(folder, 'rude.gcode', `${SQUARE}G1 X5 \u001b[2JY1\n`)
  const { out } = await fettle(['code', 'rude.gcode'], inFolder)
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape codes are what is looked for
  expect(out).not.toMatch(/\u001b/)
  expect((await fettle(['code', 'rude.gcode', '-o', 'rude.txt'], inFolder)).out).toBe('')
  expect(readFileSync(`${folder}/rude.txt`, 'utf8')).toBe(out)
  expect((await fettle(['code', 'rude.gcode', '-o', 'rude.txt'], inFolder)).code).toBe(2)
})

test('a file written from the plan agrees with it; one with less plastic at a height is told there', async () => {
  const text = await planned()
  writeBytes(folder, 'own.gcode', text)
  const words = ['examine', 'post.stl', ...AS_PLANNED, '--code']
  const own = JSON.parse((await fettle([...words, 'own.gcode', '--json'], inFolder)).out)
  expect([own.code.placement.dx.toFixed(2), own.code.placement.dy.toFixed(2)]).toEqual(['110.00', '95.00'])
  expect(own.code.differences.filter(({ id }: { id: string }) => !id.startsWith('time'))).toEqual([])
  expect(own.code.massG).toBeCloseTo(own.summary.massG, 4)

  // Half the flow from 15 mm up.
  const lines = text.split('\n')
  const at = lines.findIndex((line) => /Z15(\.\d+)?\b/.test(line))
  writeBytes(folder, 'thin.gcode', [...lines.slice(0, at), 'M221 S47.5', ...lines.slice(at)].join('\n'))
  const { code, out } = await fettle([...words, 'thin.gcode', '--sheet', 'thin.html'], inFolder)
  expect(code).toBe(0)
  expect(out).toContain('Against the print file thin.gcode')
  expect(out).toMatch(/plastic, 1[45]\.\d to 30\.0 mm: [\d.]+ mm3 in the file, [\d.]+ mm3 in the plan/)
  expect(readFileSync(`${folder}/thin.html`, 'utf8')).toContain('Against the print file thin.gcode')
})

test('--code takes one figure, and its faults are those of any file', async () => {
  const two = await fettle(['examine', 'post.stl', 'post.stl', '--code', 'hand.gcode'], inFolder)
  expect([two.code, two.err]).toEqual([2, expect.stringContaining('give a single FILE')])
  const gone = await fettle(['examine', 'post.stl', '--code', 'gone.gcode'], inFolder)
  expect([gone.code, gone.err]).toEqual([3, expect.stringContaining('gone.gcode: there is no such file')])
  const other = await fettle(['examine', 'post.stl', ...AS_PLANNED, '--code', 'hand.gcode'], inFolder)
  expect(other.code).toBe(0)
  expect(other.out).toMatch(/the figure: the figure given does not fit the shells of this file/)
})

test('Ctrl-C stops the reading of a stream that never ends', async () => {
  const child = startFettle(['code', '-', '--verbose'], folder)
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  child.stdin.on('error', () => undefined)
  child.stdin.write(SQUARE)
  await new Promise<void>((resolve) => child.stderr.once('data', () => resolve()))
  child.kill('SIGINT')
  expect(await ended).toBe(130)
})
