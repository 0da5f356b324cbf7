// Falls by vibrations against closed forms: free bars and beams, spheres on a floor, dents, bars that are stopped.

import { beforeAll, expect, test } from 'vitest'
import { type FallSettings, simulateFall } from '../../src/engine/strength/drop-motion.ts'
import { patchAt, patchMove } from '../../src/engine/strength/drop-patch.ts'
import { cellStress } from '../../src/engine/strength/field-stress.ts'
import {
  contactModulusMPa,
  dropByModes,
  fallSpeedMmPerS,
  fillGrid,
  hertzImpact,
} from '../../src/engine/strength/index.ts'
import { isotropic } from '../../src/engine/strength/material.ts'
import { type FreeBody, freeBody } from '../../src/engine/strength/modes-body.ts'
import { type FreeModes, freeModes } from '../../src/engine/strength/modes-free.ts'
import { startWasm } from '../../src/pool/start-wasm.ts'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../stack-by-hand.ts'
import { EVEN, shaftOnBase } from '../strength-bodies.ts'
import { checkOutside } from '../validation.ts'

const check = (
  model: string,
  what: string,
  source: string,
  expected: number,
  got: number,
  allowed: number,
  unit = '',
): void => checkOutside({ room: 'strength', model, case: what, source, expected, got, allowed, relative: true, unit })

const E = 2400
const NU = 0.36
const RHO = 1.24e-9
const C = Math.sqrt(E / RHO)

/** A free prism standing along z. */
const freePrism = async (loop: Loop, length: number, h: number, nModes: number): Promise<[FreeBody, FreeModes]> => {
  const stack = stackByHand(
    Array.from({ length: Math.round(length / h) }, () => [[loop]]),
    h,
  )
  const body = await freeBody(await fillGrid(stack, h, null, null), [isotropic(E, NU)], 1.24, 1)
  return [body, await freeModes(body, { nModes, tolerance: 1e-3 })]
}

/** Share of a mode that moves along z. */
const alongShare = (body: FreeBody, u: Float64Array): number => {
  let along = 0
  for (let i = 2; i < u.length; i += 3) along += body.mass[i] * u[i] * u[i]
  return along
}

const SIDE = 2
const LENGTH = 60
let bar: [FreeBody, FreeModes]
beforeAll(async () => {
  bar = await freePrism(boxLoop(-SIDE / 2, -SIDE / 2, SIDE, SIDE), LENGTH, 0.5, 16)
})

test('free-free vibrations of a bar', () => {
  const [body, modes] = bar
  const hz = Array.from(modes.omega, (w) => w / (2 * Math.PI))
  const gyration = Math.sqrt((SIDE * SIDE) / 12)
  const source = 'Blevins, Formulas for natural frequency and mode shape: beam free at both ends (from memory)'
  // Bending comes in pairs.
  for (const [k, beta] of [
    [0, 4.73004],
    [2, 7.8532],
    [4, 10.9956],
  ]) {
    const thin = (beta ** 2 / LENGTH ** 2 / (2 * Math.PI)) * C * gyration
    // Shear and turning of sections by Timoshenko's beam, first order in (r / L)2; boundary terms left out.
    const slender =
      1 + 0.5 * (beta * gyration) ** 2 * LENGTH ** -2 * (1 + (2 * (1 + NU) * (12 + 11 * NU)) / (10 * (1 + NU)))
    check(
      'vibrations of a free body',
      `square 2 x 60, bending ${k / 2 + 1}, four cells across`,
      `${source}; with shear and turning inertia (Timoshenko)`,
      thin / slender,
      hz[k],
      0.015,
      'Hz',
    )
    expect(Math.abs(hz[k] / hz[k + 1] - 1)).toBeLessThan(1e-3)
  }
  const axial = modes.shapes.findIndex((u) => alongShare(body, u) > 0.9)
  check(
    'vibrations of a free body',
    'square 2 x 60, first along the bar',
    'closed form c / 2 L',
    C / 2 / LENGTH,
    hz[axial],
    0.005,
    'Hz',
  )
  expect(Math.max(...modes.residual.slice(0, 12))).toBeLessThan(0.05)
})

test('twist of a free bar, extrapolated from two grids', async () => {
  const length = 20
  const twist = async (h: number): Promise<number> => {
    const [body, modes] = await freePrism(boxLoop(-1, -1, SIDE, SIDE), length, h, 5)
    // A twist moves the middle of an end neither along nor sideways.
    const k = modes.shapes.findIndex(
      (u) => Math.hypot(...patchMove(patchAt(body, [0, 0, length]), u)) < 0.1 * Math.sqrt(1 / body.massT),
    )
    return modes.omega[k] / (2 * Math.PI)
  }
  const [a, b] = [await twist(0.5), await twist(0.25)]
  check(
    'vibrations of a free body',
    `square 2 x 20, first twist: ${a.toFixed(0)}, ${b.toFixed(0)} Hz at 4 and 8 cells, extrapolated by second order`,
    'closed form sqrt(G J / rho Ip) / 2 L, J 0.14058 a4 (Timoshenko & Goodier)',
    Math.sqrt((E / 2 / (1 + NU) / RHO) * 0.14058 * 6) / 2 / length,
    (4 * b - a) / 3,
    0.015,
    'Hz',
  )
})

test('free-free vibrations of a round rod, extrapolated from three grids', async () => {
  const first = async (h: number): Promise<number> =>
    (await freePrism(circleLoop(0, 0, 1, 96), 40, h, 2))[1].omega[0] / (2 * Math.PI)
  const [a, b, c] = [await first(0.5), await first(0.25), await first(0.125)]
  const beta = 4.73004
  const shear = (2 * (1 + NU) * (7 + 6 * NU)) / (6 * (1 + NU))
  const exact = (((beta / 40) ** 2 / (2 * Math.PI)) * C * 0.5) / (1 + ((0.5 * (beta * 0.5) ** 2) / 1600) * (1 + shear))
  check(
    'vibrations of a free body',
    `round rod d 2, L 40: ${[a, b, c].map((f) => f.toFixed(0)).join(', ')} Hz at 4, 8, 16 cells, extrapolated by first order`,
    'Blevins, beam free at both ends (from memory), with shear and turning inertia',
    exact,
    2 * c - b,
    0.015,
    'Hz',
  )
})

const STILL = [0, 0, 0] as const
const settings: FallSettings = {
  contactMPa: contactModulusMPa(3500, 0.36),
  dentMPa: Infinity,
  floorGiveMmPerN: 0,
  damping: 0,
  durationS: 4e-4,
  stepS: 1e-7,
  every: 1,
}
const ball = (massG: number, radiusMm: number) => ({
  massT: massG * 1e-6,
  inertia: [1, 1, 1, 0, 0, 0],
  omega: new Float64Array(0),
  places: [{ at: [0, 0, -radiusMm] as const, shape: new Float64Array(0), radiusMm, giveMmPerN: 0 }],
})

test('a ball on a floor: force and time of contact', () => {
  const speed = fallSpeedMmPerS(1000)
  for (const [r, newton, ms] of [
    [5, 767, 0.106],
    [1, 556, 0.147],
    [12.5, 921, 0.088],
  ]) {
    const out = simulateFall(ball(5, r), { down: [0, 0, -1], speedMmPerS: speed, spin: STILL }, settings)
    const source = 'Johnson, Contact Mechanics, 11.4'
    check(
      'falls in time, elastic contact',
      `5 g from 1 m, R ${r}: force`,
      source,
      newton,
      out.greatestForceN,
      0.005,
      'N',
    )
    check(
      'falls in time, elastic contact',
      `5 g from 1 m, R ${r}: time`,
      source,
      ms,
      out.firstContactS * 1000,
      0.01,
      'ms',
    )
    expect(out.greatestForceN / hertzImpact(5, speed, r, settings.contactMPa).forceN).toBeCloseTo(1, 2)
  }
})

test('a ball that dents: speed it comes back with', () => {
  const [R, mass, pressure] = [5, 5e-6, 200]
  const first = 3.194 * Math.sqrt((pressure ** 5 * R ** 3) / (settings.contactMPa ** 4 * mass))
  for (const times of [2, 5, 20]) {
    const v = times * first
    const out = simulateFall(
      ball(5, R),
      { down: [0, 0, -1], speedMmPerS: v, spin: STILL },
      { ...settings, dentMPa: pressure },
    )
    const y = 1 / times
    const e =
      Math.sqrt((6 * Math.sqrt(3)) / 5) *
      Math.sqrt(1 - (y * y) / 6) *
      (y / (y + 2 * Math.sqrt(1.2 - 0.2 * y * y))) ** 0.25
    check(
      'falls in time, denting contact',
      `${times} times the speed that first dents: speed after over speed before`,
      'Thornton, J. Appl. Mech. 64:383-386 (1997), eq. for restitution (from memory)',
      e,
      Math.sqrt(out.energyRigid / out.energyBefore),
      0.02,
    )
  }
})

test('a bar dropped on its end', () => {
  const [L, A] = [40, 4]
  const mass = RHO * A * L
  const nModes = 60
  // Modes of a bar free at both ends: cosines.
  const out: number[] = []
  const result = simulateFall(
    {
      massT: mass,
      inertia: [1, 1, 1, 0, 0, 0],
      omega: Float64Array.from({ length: nModes }, (_, k) => ((k + 1) * Math.PI * C) / L),
      places: [
        {
          at: [0, 0, -L / 2],
          shape: Float64Array.from({ length: 3 * nModes }, (_, i) => (i % 3 === 2 ? Math.sqrt(2 / mass) : 0)),
          radiusMm: 1000,
          giveMmPerN: 0,
        },
      ],
    },
    { down: [0, 0, -1], speedMmPerS: 1000, spin: STILL },
    { ...settings, contactMPa: 1e5, stepS: 2e-8, durationS: 1e-4 },
    (t, _q, force) => {
      if (t > 0.25 * ((2 * L) / C) && t < 0.75 * ((2 * L) / C)) out.push(force[0])
    },
  )
  const mean = out.reduce((s, f) => s + f, 0) / out.length
  const source = 'wave theory (Timoshenko & Goodier, longitudinal impact of bars)'
  check(
    'falls in time, end on',
    'stress at the struck end per m/s: rho c v',
    source,
    RHO * C * 1e3,
    mean / A,
    0.02,
    'MPa',
  )
  check(
    'falls in time, end on',
    'time of contact 2 L / c',
    source,
    (2e6 * L) / C,
    result.firstContactS * 1e6,
    0.08,
    'us',
  )
})

test('a bar that is stopped in its middle: stress there', () => {
  const [body, modes] = bar
  // Both halves are rods on a base stopped dead: by symmetry the middle neither turns nor, once stopped, moves.
  const at = [SIDE / 2, 0, LENGTH / 2] as const
  const shape = Float64Array.from(modes.shapes.flatMap((u) => patchMove(patchAt(body, at), u)))
  const { mesh } = body
  const middle: number[] = []
  for (let c = 0; c < mesh.nCells; c++) if (mesh.cellAt[3 * c + 2] === LENGTH) middle.push(c)
  // Bending stress at the surface cells of the middle, per mode, MPa.
  const stress = modes.shapes.map((u) => {
    const s = cellStress(mesh, u)
    return middle.map((c) => [s.middle[6 * c + 2], s.gradient[9 * c + 6]] as const)
  })
  let most = 0
  const speed = 1000
  simulateFall(
    {
      massT: body.massT,
      inertia: body.inertia,
      omega: modes.omega,
      places: [{ at: [at[0] - body.centre[0], 0, at[2] - body.centre[2]], shape, radiusMm: 5, giveMmPerN: 0 }],
    },
    { down: [1, 0, 0], speedMmPerS: speed, spin: STILL },
    { ...settings, durationS: 1.6e-3, stepS: 2e-7, every: 10 },
    (_t, q) => {
      middle.forEach((_, i) => {
        let a = 0
        let b = 0
        stress.forEach((s, k) => {
          a += q[k] * s[i][0]
          b += q[k] * s[i][1]
        })
        most = Math.max(most, Math.abs(a) + Math.abs(b))
      })
    },
  )
  const source = 'modal sum of a clamped-free beam of rectangular section, derived (Blevins for the mode shapes)'
  // First mode alone 2.712; a peak in time may pass the root sum of squares, and the bar bounces a little.
  check(
    'falls in time, stopped dead',
    'square 2 x 60 stopped in its middle: stress there per m/s, against all modes by root sum of squares (2 sqrt 3 rho c v)',
    source,
    2 * Math.sqrt(3) * RHO * C * 1e3,
    most / (speed / 1000),
    0.15,
    'MPa',
  )
})

test('a shaft on a base dropped in many attitudes', async () => {
  const { stack } = await shaftOnBase(2, 15, 0.25)
  const seen: string[] = []
  let progress = 0
  const subject = { stack, material: EVEN, stuffing: null, plan: null }
  const options = {
    nAttitudes: 12,
    nPoses: 3,
    nTips: 1,
    nModes: 12,
    cellMm: 0.6,
    fineCellMm: 0.4,
    nChecked: 4,
    nWorst: 1,
    start: startWasm,
  }
  const drop = await dropByModes(
    subject,
    { ...options, onAttitude: (a) => seen.push(a.kind) },
    {
      onProgress: (share) => {
        expect(share).toBeGreaterThanOrEqual(progress - 1e-9)
        progress = share
      },
    },
  )
  expect(seen.filter((k) => k === 'even').length).toBeGreaterThanOrEqual(12)
  expect(drop.attitudes.map((a) => a.kind)).toEqual([...Array(12).fill('even'), 'rest', 'rest', 'rest', 'tip'])
  // The shaft is the only slender part: it leads wherever anything breaks, at its foot.
  expect(Math.hypot(drop.first[0].at[0], drop.first[0].at[1])).toBeLessThan(1.5)
  expect(drop.first[0].at[2]).toBeLessThan(6)
  expect(drop.survived.low).toBeLessThanOrEqual(drop.survived.value)
  expect(drop.survived.high).toBeGreaterThanOrEqual(drop.survived.value)
  expect(drop.fineHz?.length).toBe(4)
  const tip = drop.attitudes[drop.attitudes.length - 1]
  const worst = Math.max(...drop.attitudes.map((a) => a.use))
  expect(tip.use).toBeLessThan(worst / 3)
  // Elastic contacts push harder; half the height strains it less, soft floors less still.
  const few = { ...options, nAttitudes: 4, nPoses: 0, nTips: 0, fineCellMm: 0 }
  const hard = await dropByModes(subject, few)
  const elastic = await dropByModes(subject, { ...few, dents: false })
  const carpet = await dropByModes(subject, { ...few, floor: 'carpet' })
  for (let k = 0; k < 4; k++) {
    expect(elastic.attitudes[k].greatestForceN).toBeGreaterThanOrEqual(0.99 * hard.attitudes[k].greatestForceN)
    expect(carpet.attitudes[k].greatestForceN).toBeLessThan(hard.attitudes[k].greatestForceN)
  }
})

test('a stopped fall stops', async () => {
  const { stack } = await shaftOnBase(2, 15, 0.25)
  const stop = new AbortController()
  const started = dropByModes(
    { stack, material: EVEN, stuffing: null, plan: null },
    { cellMm: 0.6, nModes: 12, fineCellMm: 0 },
    {
      signal: stop.signal,
      onProgress: (share) => {
        if (share > 0.1) stop.abort()
      },
    },
  )
  await expect(started).rejects.toThrow('stopped')
})
