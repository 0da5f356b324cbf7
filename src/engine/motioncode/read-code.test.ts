import fc from 'fast-check'
import { expect, test } from 'vitest'
import { CODE_EVENTS, type CodeReading, createCodeReader, MOVE_AFTER_HOME, MOVE_RAPID, readCode } from './index.ts'

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text)
const read = (text: string, options = {}): CodeReading => {
  const outcome = readCode(bytes(text), options)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
const eventsOf = ({ events }: CodeReading): [string, number, number][] =>
  Array.from({ length: events.n }, (_, i) => [CODE_EVENTS[events.kind[i]], events.move[i], events.value[i]])
const placesOf = ({ moves }: CodeReading): number[][] =>
  Array.from({ length: moves.n }, (_, i) => [moves.x[i], moves.y[i], moves.z[i]])

const PROGRAM = [
  '%',
  'G21 (millimetres) G90',
  'M82',
  'G28 X Y ; home',
  'M104 S195',
  'M190 S60',
  'G92 E0',
  'G0 X10 Y10 Z0.2 F6000',
  'G1 X20 E0.5 F1350',
  'G1 Y20 E1',
  'M106 S127.5',
  'G1 E-4 F2400',
  'M73 P10',
  'M117 Layer 1 of 3 (half)',
  'G91',
  'G0 Z0.1',
  'G90',
  'M107',
  'M84 X Y E',
].join('\n')

test('reads moves, settings and strangers of a small print', () => {
  const reading = read(PROGRAM)
  expect(placesOf(reading)).toEqual([
    [10, 10, 0.2],
    [20, 10, 0.2],
    [20, 20, 0.2],
    [20, 20, 0.2],
    [20, 20, 0.30000000000000004],
  ])
  const { moves } = reading
  expect([...moves.filament].map((e) => Math.round(e * 1e6) / 1e6)).toEqual([0, 0.5, 0.5, -5, 0])
  expect([...moves.speed]).toEqual([100, 22.5, 22.5, 40, 40])
  expect([...moves.line]).toEqual([8, 9, 10, 12, 16])
  expect([...moves.flags]).toEqual([MOVE_RAPID | MOVE_AFTER_HOME, 0, 0, 0, MOVE_RAPID])
  expect(eventsOf(reading)).toEqual([
    ['home', 0, 0],
    ['nozzle', 0, 195],
    ['bed', 0, 60],
    ['fan share', 3, 0.5],
    ['fan share', 5, 0],
  ])
  expect(reading.unknown).toEqual([
    { word: 'M117', count: 1, lines: [14] },
    { word: 'M73', count: 1, lines: [13] },
  ])
  expect(reading.nMalformed).toBe(0)
  expect(reading.decisions.join(' ')).toContain('G90 or G91 came after M82 or M83')
})

test('the same whatever the line ends and however the bytes are cut', () => {
  const whole = read(PROGRAM)
  for (const end of ['\r\n', '\r', '\n']) {
    const all = bytes(PROGRAM.replaceAll('\n', end))
    for (const size of [1, 2, 3, 7, 64]) {
      const reader = createCodeReader()
      for (let i = 0; i < all.length; i += size) reader.push(all.subarray(i, i + size))
      const outcome = reader.finish()
      expect(outcome.ok && { ...outcome.value, nBytes: 0 }).toEqual({ ...whole, nBytes: 0 })
    }
  }
})

test('incremental filament, set positions, offsets', () => {
  const reading = read('M83\nG1 X10 E1 F600\nX20 E1\nG92 X0 E5\nX1 E1\nG92.1\nX22')
  expect(placesOf(reading).map(([x]) => x)).toEqual([10, 20, 21, 22])
  expect([...reading.moves.filament]).toEqual([1, 1, 1, 0])
})

test('the filament follows G90 and G91 until M82 or M83 settles it', () => {
  expect([...read('G91\nG1 X1 E1 F600\nX1 E1').moves.filament]).toEqual([1, 1])
  expect([...read('G90\nG1 X1 E1 F600\nX2 E1').moves.filament]).toEqual([1, 0])
  expect([...read('M82\nG91\nG1 X1 E1 F600\nX1 E1').moves.filament]).toEqual([1, 0])
})

test('speed share and flow share are followed', () => {
  const { moves } = read('M83\nG1 X10 E1 F600\nM220 S50\nM221 S95\nX20 E1')
  expect([...moves.speed]).toEqual([10, 5])
  expect(moves.filament[1]).toBeCloseTo(0.95, 6)
})

test('acceleration and corner speed are followed; others are listed with their effect', () => {
  const reading = read('M204 P500 T1000\nM205 X8 Y8\nM204 S300\nM201 X500 Y500\nM205 J0.02\nG10\nG1 X1 F60')
  expect(eventsOf(reading)).toEqual([
    ['acceleration of beads', 0, 500],
    ['acceleration of travels', 0, 1000],
    ['corner speed', 0, 8],
    ['acceleration of beads', 0, 300],
    ['acceleration of travels', 0, 300],
  ])
  expect(reading.notFollowed.map(({ word, lines }) => [word, lines])).toEqual([
    ['G10', [6]],
    ['M201', [4]],
    ['M205', [5]],
  ])
  for (const { effect } of reading.notFollowed) expect(effect.length).toBeGreaterThan(20)
})

test.each([
  ['G1 X1 E1 F60\nG4 P500', 'ms', 0.5, 'the longest is 500'],
  ['G1 X1 E1 F60\nG4 P2', 'ms', 0.002, 'drives filament'],
  ['G1 X1 E1 F60\nG4 P0.5', 's', 0.5, 'a fraction'],
  ['G1 X1 F60\nG4 P2', 's', 2, 'the standard'],
  ['G1 X1 E1 F60\nG4 S2', '', 2, ''],
])('unit of a dwell: %s', (text, unit, seconds, why) => {
  const reading = read(text)
  expect(eventsOf(reading)).toEqual([['dwell', 1, seconds]])
  if (why) expect(reading.decisions[0]).toContain(why)
  if (unit) expect(reading.decisions[0]).toContain(unit === 's' ? 'in seconds' : 'in milliseconds')
  const told = eventsOf(read(text, { dwellUnit: 's' }))[0][2]
  expect(told).toBe(text.includes('S2') ? 2 : Number(text.split('P')[1]))
})

test('fan words are shares when the file shows that they are', () => {
  expect(eventsOf(read('M106 S0.5\nM106 S1\nM106\nG1 X1 F60')).map(([, , v]) => v)).toEqual([0.5, 1, 1])
  expect(eventsOf(read('M106 S1\nM106 S255\nG1 X1 F60')).map(([, , v]) => v)).toEqual([1 / 255, 1])
})

test('checksums: right ones pass, wrong ones are reported, long line numbers are allowed with one', () => {
  const summed = (text: string): string => `${text}*${[...bytes(text)].reduce((sum, b) => sum ^ b, 0)}`
  const reading = read(`${summed('N1 G1 X5 F600')}\n${summed('N123456 X6')} ; well\nN3 X7*1\nX8`)
  expect(placesOf(reading).map(([x]) => x)).toEqual([5, 6, 8])
  expect(reading.malformed[0]).toMatchObject({ code: 'motioncode/malformed-line', place: { line: 3, column: 6 } })
})

test('both comment styles, and nothing in a comment is heeded', () => {
  const reading = read('G1 (X99) X1 F60 (again X98)\nX2 ; X97 (open\n; G1 X96\n(layer 7)')
  expect(placesOf(reading).map(([x]) => x)).toEqual([1, 2])
  expect(reading.nMalformed).toBe(0)
})

test('lines that are no words are reported with line and column', () => {
  const reading = read('START_PRINT HEAT=60\nG1 X1 F60\nG1 X\n#3=15\nG1 X1..2\nG38.2 X1\n?')
  expect(reading.malformed.map(({ place }) => [place?.line, place?.column])).toEqual([
    [1, 5],
    [3, 4],
    [4, 1],
    [5, 7],
    [6, 1],
    [7, 1],
  ])
})

test('nothing is read after the end of the program, and that is said', () => {
  const outcome = readCode(bytes('G1 X1 F60\nM30\nX2'))
  expect(outcome.ok && outcome.value.moves.n).toBe(1)
  expect(outcome.ok && outcome.notes[0].code).toBe('motioncode/after-end')
})

test('marked lines are carried out unless asked otherwise', () => {
  expect(read('G1 X1 F60\n/X2').moves.n).toBe(2)
  expect(read('G1 X1 F60\n/X2', { skipMarked: true }).moves.n).toBe(1)
})

test('an arc a little off its circle is noted, one far off is refused', () => {
  const reading = read('G1 X0 F600\nG2 X10.01 Y0 I5 J0\nG0 X0 Y0\nG2 X12 Y0 I5 J0')
  expect(reading.decisions.join()).toContain('1 arcs end up to')
  expect(reading.malformed[0].message).toContain('misses its end by 2.000 mm')
})

test('what is no motion code is refused', () => {
  for (const text of ['', '\n\n', '; only a comment', '%'])
    expect(readCode(bytes(text))).toMatchObject({ ok: false, issues: [{ code: 'motioncode/no-words' }] })
  const noise = new Uint8Array(5000).map((_, i) => (i * 7919 + (i >> 3) * 31) & 255)
  expect(readCode(noise).ok).toBe(false)
})

test('limits hold against hostile files', () => {
  const long = readCode(bytes(`G1 X1 F60\nX2 (${'x'.repeat(40_000)})\nX3`))
  expect(long.ok && placesOf(long.value).map(([x]) => x)).toEqual([1, 3])
  expect(long.ok && long.value.malformed[0].place?.line).toBe(2)
  const many = readCode(bytes(`G1 F60\n${'X1\nX2\n'.repeat(100)}`), { mostMoves: 50 })
  expect(many.ok && many.value.moves.n).toBe(50)
  expect(many.ok && many.notes[0].code).toBe('motioncode/too-many-moves')
  expect(read('G1 X1 F60\nX99999999\nG2 X2 Y2 R9999999999').moves.n).toBe(1)
  const strangers = Array.from({ length: 2000 }, (_, i) => `M${1000 + i}`).join('\n')
  expect(read(`G1 X1 F60\n${strangers}`).unknown.length).toBeLessThanOrEqual(501)
})

test('numbers come out as a library reads them', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -1000, max: 1000, noNaN: true }),
      fc.integer({ min: 0, max: 10 }),
      (value, decimals) => {
        const text = value.toFixed(decimals)
        const outcome = readCode(bytes(`G0 X${text} Y1`))
        expect(outcome.ok && outcome.value.moves.x[0]).toBe(Number(text) + 0)
      },
    ),
  )
})

test('no bytes whatever make the reader throw', () => {
  const alphabet = fc.constantFrom(...'GMXYZEFIJKRPSN0123456789.-+ ()*;/%#\n\r\t'.split(''))
  fc.assert(
    fc.property(fc.string({ unit: alphabet, maxLength: 300 }), (text) => {
      const outcome = readCode(bytes(text))
      if (outcome.ok)
        for (const column of [outcome.value.moves.x, outcome.value.moves.filament, outcome.value.moves.speed])
          for (const value of column) expect(Number.isFinite(value)).toBe(true)
    }),
    { numRuns: 500 },
  )
  fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), (raw) => void readCode(raw)))
})
