// Reading motion code against the published RS-274/NGC rules, arcs against plane geometry, bead sections against the stadium.
import { expect, test } from 'vitest'
import { type CodeReading, inferBeads, readCode, writeCode } from '../../src/engine/motioncode/index.ts'
import { timeBeads, timeMoves } from '../../src/engine/timing/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { beadPlanOf } from '../bead-plans.ts'
import { blockAndTube } from '../figure-plans.ts'
import { freeMachine } from '../moves.ts'
import { checkOutside } from '../validation.ts'

const NIST = 'RS-274/NGC, NIST IR 6556 (Kramer, Proctor, Messina 2000)'
const GEOMETRY = 'plane geometry, closed form'
const read = (text: string, options = {}): CodeReading => {
  const outcome = readCode(new TextEncoder().encode(text), options)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
const check = (what: string, expected: number, got: number, allowed = 1e-9, source = NIST, unit = 'mm') =>
  checkOutside({ room: 'motioncode', model: 'reader of motion code', case: what, source, expected, got, allowed, unit })

/** Lengths by source line; arcs by their true length. */
const lengthsByLine = (reading: CodeReading): Map<number, number> => {
  const { moves, arcs } = reading
  const lengths = new Map<number, number>()
  for (let i = 0; i < moves.n; i++) {
    const [px, py, pz] = i > 0 ? [moves.x[i - 1], moves.y[i - 1], moves.z[i - 1]] : [0, 0, 0]
    const length = Math.hypot(moves.x[i] - px, moves.y[i] - py, moves.z[i] - pz)
    lengths.set(moves.line[i], (lengths.get(moves.line[i]) ?? 0) + length)
  }
  for (const arc of arcs) lengths.set(moves.line[arc.firstMove], arc.length)
  return lengths
}

test('a short program in the grammar of the standard: ends, lengths, times', () => {
  const program = [
    'G21 G90 G94 G17',
    'G1 X10 F2700',
    'Y10',
    'G91 X-10',
    'G90 G2 X10 Y10 I5 J0',
    'G20',
    'G1 X0 F100',
    'G4 P0.5',
  ].join('\n')
  const reading = read(program)
  const lengths = lengthsByLine(reading)
  check('X10', 10, lengths.get(2) ?? 0)
  check('Y10, motion kept', 10, lengths.get(3) ?? 0)
  check('X-10 by increments', 10, lengths.get(4) ?? 0)
  check('half circle clockwise over (5, 15)', 5 * Math.PI, lengths.get(5) ?? 0)
  check('X0 in inches', 10, lengths.get(7) ?? 0)
  const { moves } = reading
  const top = Math.max(...moves.y)
  check('top of the half circle', 15, top, 1e-2)
  check('end x', 0, moves.x[moves.n - 1])
  check('end y', 10, moves.y[moves.n - 1])
  let seconds = reading.events.value[0]
  for (const [line, length] of lengths) {
    const at = moves.line.indexOf(line)
    seconds += length / moves.speed[at]
  }
  check('time without acceleration, dwell included', 1.75196, seconds, 1e-5, NIST, 's')
  expect(reading.decisions[0]).toContain('in seconds')
  expect(reading.nMalformed).toBe(0)
})

test('the times of the same program by the motion model with boundless acceleration', () => {
  const { moves } = read('G21\nG1 X10 F2700\nY10\nX0\nG2 X10 Y10 I5 J0')
  const points = new Float64Array(4 * (moves.n + 1))
  for (let i = 0; i < moves.n; i++) points.set([moves.x[i], moves.y[i], moves.z[i], 0], 4 * i + 4)
  const free = freeMachine({ acceleration: 1e12, cornerSpeed: 1e6, mostAcceleration: [1e12, 1e12, 1e12, 1e12] })
  const { totalS } = timeMoves({ nMoves: moves.n, points, speed: Float64Array.from(moves.speed) }, free)
  check('time by the motion model', 3 * (10 / 45) + (5 * Math.PI) / 45, totalS, 2e-3, GEOMETRY, 's')
})

test('odd blanks, case and order are allowed', () => {
  const { moves } = read('g0x +0. 12 34y 7')
  check('g0x +0. 12 34y 7: x', 0.1234, moves.x[0])
  check('g0x +0. 12 34y 7: y', 7, moves.y[0])
  const turned = read('y5 f600 x2 g1').moves
  check('words in any order: x', 2, turned.x[0])
  check('words in any order: speed', 10, turned.speed[0], 1e-9, NIST, 'mm/s')
})

test.each([
  ['two words of one modal group', 'G1 G2 X1 Y1 I1 F100', 1],
  ['a line number above 99999', 'N100000 G1 X1 F100', 1],
  ['a letter twice', 'G1 X1 X2 F100', 7],
  ['a comment in a comment', 'G1 X1 F100 (a (b))', 15],
  ['an arc without centre or radius', 'F100\nG2 X5 Y5', 1],
  ['feed zero', 'G1 X1 F0', 1],
  ['an exponent', 'G1 X1e1 F100 E2', 14],
  ['an open comment', 'G1 X1 F100 (a', 12],
  ['four M words are allowed, five are not', 'M0 M3 M7 M48 M6', 14],
  ['inverse time without F', 'G93 F2 G1 X1\nX2', 1],
  ['an arc whose radius cannot reach', 'F100\nG2 X10 Y0 R4', 1],
])('must be refused: %s', (what, line, column) => {
  const outcome = readCode(new TextEncoder().encode(`${line}\nG0 X1`))
  const reading = outcome.ok ? outcome.value : null
  check(`refused: ${what}`, 1, reading?.nMalformed ?? 0, 0, NIST, 'lines')
  expect(reading?.malformed[0].place).toEqual({ line: line.split('\n').length, column })
})

test.each([
  ['radius 10, chord 10, the short way', 'G2 X10 Y0 R10', 10.47198, 10, Math.PI / 3],
  ['radius -10, chord 10, the long way', 'G2 X10 Y0 R-10', 52.35988, 10, (5 * Math.PI) / 3],
  ['quarter by centre', 'G3 X-10 Y10 I-10 J0', 15.70796, 10, Math.PI / 2],
  ['full circle by centre', 'G2 X0 Y0 I5 J0', 31.41593, 5, 2 * Math.PI],
  ['helix r 5, rise 2', 'G2 X0 Y0 Z2 I5 J0', 31.47952, 5, 2 * Math.PI],
])('arc: %s', (what, line, length, radius, angle) => {
  const { arcs, moves } = read(`G17 F100\n${line}`, { arcErrorMm: 0.01 })
  check(`arc length: ${what}`, length, arcs[0].length, 6e-6, GEOMETRY)
  check(`arc radius: ${what}`, radius, arcs[0].radius, 1e-9, GEOMETRY)
  check(`arc angle: ${what}`, angle, Math.abs(arcs[0].angle), 1e-9, GEOMETRY, 'rad')
  if (what === 'quarter by centre') check('chords of a quarter r 10 within 0.01 mm', 18, moves.n, 0, GEOMETRY, 'chords')
})

test('both centres of a radius arc', () => {
  for (const [word, expected] of [
    ['G2', -8.66025],
    ['G3', 8.66025],
  ] as const) {
    const { moves } = read(`F100\n${word} X10 Y0 R10`, { arcErrorMm: 1e-6 })
    // The point half way lies 10 from the centre on the far side of the chord.
    let extreme = 0
    for (const y of moves.y) if (Math.abs(y) > Math.abs(extreme)) extreme = y
    check(`${word}: centre of the arc, y`, expected, extreme - Math.sign(extreme) * 10, 1e-5, GEOMETRY)
  }
})

test('arcs in the other two planes lie in them', () => {
  const zx = read('G18 F100\nG2 X10 Z0 I5 K0').moves
  expect(Math.max(...zx.y)).toBe(0)
  // Seen from +y, z is the first axis and x the second: clockwise from x 0 to x 10 goes over z = -5.
  check('G18: clockwise half circle, lowest z', -5, Math.min(...zx.z), 1e-2)
  const yz = read('G19 F100\nG2 Y10 Z0 J5 K0').moves
  expect(Math.max(...yz.x)).toBe(0)
  check('G19: clockwise half circle, highest z', 5, Math.max(...yz.z), 1e-2)
})

test('inverse time: the move takes 1/F minutes', () => {
  const { moves } = read('G93 G1 X10 F2')
  check('G93 G1 X10 F2', 30, 10 / moves.speed[0], 1e-5, NIST, 's')
})

test('F is acted on before units of the same line', () => {
  check('G20 G1 X1 F60 after mm', 1, read('G21\nG20 G1 X1 F60').moves.speed[0], 1e-9, NIST, 'mm/s')
  check('F60 on a line after G20', 25.4, read('G20\nG1 X1 F60').moves.speed[0], 1e-6, NIST, 'mm/s')
})

test('bead area and feed: w 0.45, h 0.2, 50 mm/s', async () => {
  const plan = beadPlanOf([
    {
      height: 0.2,
      beads: [
        {
          path: [
            [0, 0],
            [10, 0],
          ],
          width: 0.45,
          speed: 50,
        },
      ],
    },
    {
      height: 0.2,
      beads: [
        {
          path: [
            [0, 0],
            [10, 0],
          ],
          width: 0.45,
          speed: 50,
        },
      ],
    },
  ])
  const STADIUM = 'stadium section (w-h)h + pi h2/4, plane geometry'
  const reading = read(writeCode(plan))
  const bead = reading.moves.filament.findIndex((mm) => mm > 0)
  const mm = reading.moves.filament[bead]
  check('filament of 1.75 mm for 10 mm of bead', 0.33849, mm, 1e-5, STADIUM)
  check('filament speed', 1.692, (mm / 10) * reading.moves.speed[bead], 5e-4, STADIUM, 'mm/s')
  const inferred = await inferBeads(reading)
  if (!inferred.ok) throw new Error(inferred.issues[0].message)
  const { plan: back } = inferred.value
  check('section read back', 0.08142, back.volume[0] / 10, 5e-6, STADIUM, 'mm2')
  check('width read back', 0.45, back.width[0], 1e-4, STADIUM)
  check('volume rate', 4.071, (back.volume[0] / 10) * back.speed[0], 5e-4, STADIUM, 'mm3/s')
})

test('plan to code to plan: volume, length and time agree', async () => {
  const plan = blockAndTube()
  const inferred = await inferBeads(read(writeCode(plan)))
  if (!inferred.ok) throw new Error(inferred.issues[0].message)
  const back = inferred.value.plan
  const sum = (values: ArrayLike<number>): number => Array.from(values).reduce((a, b) => a + b, 0)
  const TRIP = 'the plan itself, written and read back'
  const relative = (what: string, expected: number, got: number, allowed: number, unit: string): void =>
    checkOutside({
      room: 'motioncode',
      model: 'round trip',
      case: what,
      source: TRIP,
      expected,
      got,
      allowed,
      relative: true,
      unit,
    })
  relative('volume of all beads', sum(plan.volume), sum(back.volume), 1e-6, 'mm3')
  const cards = {
    recipe: { ...STARTING_RECIPE, leastLayerTimeS: 0 },
    printer: STARTING_PRINTER,
    filament: STARTING_FILAMENT,
  }
  const time = async (of: typeof plan): Promise<number> => (await timeBeads(of, cards)).totals.printS
  relative('time of the print', await time(plan), await time(back), 0.001, 's')
  const wrong = Array.from(plan.role).filter((role, b) => role !== back.role[b]).length
  check('beads whose role is read differently', 0, wrong, 0, TRIP, 'beads')
})
