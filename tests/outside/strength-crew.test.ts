// What breaks first on the demo crew, and what shells, infill, stance and plastic do about it: written to docs/crew-strength.md.
// Facts of the trade are held against what the model says; where it does not bear one out, the table says why.

import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { CREW, type CrewMember } from '../../demo/crew.ts'
import { BASE, BOAT_HOOK, LANTERN, RIBBON, UMBRELLA } from '../../demo/facts.ts'
import { type Figure, standUp } from '../../src/engine/figure/index.ts'
import { readSculpt } from '../../src/engine/mesh/index.ts'
import { cutLayers, type LayerRelations, type LayerStack, relateLayers } from '../../src/engine/sections/index.ts'
import {
  type QuickStrength,
  quickStrength,
  type StrengthMaterial,
  type Stuffing,
  type WeakPlace,
} from '../../src/engine/strength/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { STARTING_FILAMENT } from '../../src/recipe/index.ts'
import { crewBytes, crewSettings } from '../crew-files.ts'
import { checkOutside } from '../validation.ts'

const SHELLS = [2, 3, 4]
const INFILL = [0.15, 0.3, 0.5, 1]
/** Directions in which layers are piled, in the figure's frame: upright, leant back by 45 degrees, lying on its back. */
const STANCES = [
  ['upright', [0, 0, 1]],
  ['leant back by 45°', [0, Math.SQRT1_2, Math.SQRT1_2]],
  ['on its back', [0, 1, 0]],
] as const
/** Coarser than the quick look's own 0.2 mm, to keep the test run short. */
const CELL_MM = 0.25
/** Filled up or not is asked on these as well: a grid moves single shares of falls by several points. */
const MORE_CELLS_MM = [0.2, 0.3]

/**
 * PETG: 1.63 GPa and 34.8 MPa along beads (hobby rig, three bars, ISO 527-2 1BA); across layers three quarters of that, stretch at break
 * and density from memory.
 */
const PETG: StrengthMaterial = {
  alongModulusMPa: 1630,
  acrossModulusMPa: 1500,
  poissonRatio: 0.38,
  alongStrengthMPa: 34.8,
  acrossStrengthMPa: 26,
  alongBreakStrain: 0.06,
  acrossBreakStrain: 0.035,
  densityGPerCm3: 1.27,
}

interface Cut {
  readonly figure: Figure
  readonly stack: LayerStack
  readonly relations: LayerRelations
}

const cut = async (id: CrewMember['id']): Promise<Cut> => {
  const kit = await loadPolygonKit()
  const read = await readSculpt(crewBytes(id), { name: id })
  if (!read.ok) throw new Error(read.issues[0].message)
  const { scale, stance, eyeLineMm } = crewSettings(id)
  const stood = standUp(read.value, { scale, unit: 'mm', stance, eyeLineMm })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const figure = stood.value
  const stack = await cutLayers(figure.mesh, figure.max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  return { figure, stack, relations: await relateLayers(stack, { allowanceMm: 0.2 }, kit) }
}

const stuffed = (nShells: number, infillShare: number): Stuffing => ({
  nShells,
  beadWidthMm: 0.4,
  layerHeightMm: 0.1,
  capThicknessMm: 0.8,
  infillShare,
})

/** Names of places by the measures the crew was modelled to. */
const partAt = (id: CrewMember['id'], [x, y, z]: readonly [number, number, number]): string => {
  const near = (axis: readonly number[], within: number): boolean => Math.hypot(x - axis[0], y - axis[1]) < within
  if (id === 'keeper' && near(BOAT_HOOK.axis, 1)) return 'boat-hook'
  if (id === 'passenger' && near(UMBRELLA.axis, 1.5)) return 'umbrella'
  if (id === 'lamplighter' && near(LANTERN.axis, 2.2)) return 'lantern'
  if (id === 'lamplighter' && x > 2 && z > RIBBON.bottom && z < RIBBON.top) return 'tail of the scarf'
  if (z < BASE.height + 4.5 && Math.hypot(x, y) < 5) return id === 'ferry-dog' ? 'leg' : 'ankle'
  return z > 29 ? 'head' : 'body or arm'
}
/** What people carry: thin by nature. */
const CARRIED = ['boat-hook', 'umbrella', 'lantern', 'tail of the scarf']

interface Row {
  readonly what: string
  readonly grams: number
  readonly survived: number
  readonly place: string
  readonly forceN: number
  readonly travelMm: number
}

interface Outcome {
  readonly id: CrewMember['id']
  readonly places: readonly { readonly part: string; readonly place: WeakPlace }[]
  readonly recipes: readonly (Row & { readonly nShells: number; readonly infill: number })[]
  readonly others: readonly Row[]
  /** Half filled and filled up on every grid. */
  readonly filling: readonly (readonly [Row, Row])[]
}

const rowOf = (what: string, id: CrewMember['id'], { weakPlaces, drop, standing }: QuickStrength): Row => ({
  what,
  grams: standing.massG,
  survived: 1 - drop.breakShare.value,
  place: `${partAt(id, weakPlaces[0].at)} at ${weakPlaces[0].heightMm.toFixed(1)} mm`,
  forceN: weakPlaces[0].forceN.value,
  travelMm: weakPlaces[0].travelMm.value,
})

const outcomeOf = async (id: CrewMember['id']): Promise<Outcome> => {
  const { figure, stack, relations } = await cut(id)
  const look = (
    stuffing: Stuffing,
    layerNormal: readonly [number, number, number] = [0, 0, 1],
    material: StrengthMaterial = STARTING_FILAMENT,
    cellMm = CELL_MM,
  ): Promise<QuickStrength> => quickStrength(figure, stack, relations, material, { stuffing, layerNormal, cellMm })
  const recipes: (Row & { nShells: number; infill: number })[] = []
  let places: Outcome['places'] = []
  const others: Row[] = []
  for (const infill of INFILL)
    for (const nShells of SHELLS) {
      // Filled up, shells and infill are the same plastic: one row does.
      if (infill === 1 && nShells !== 3) continue
      const q = await look(stuffed(nShells, infill))
      recipes.push({ ...rowOf('', id, q), nShells, infill })
      if (infill === 0.5 && nShells === 3) {
        places = q.weakPlaces.slice(0, 4).map((place) => ({ part: partAt(id, place.at), place }))
        others.push(rowOf('PLA, upright', id, q))
      }
    }
  for (const [name, normal] of STANCES.slice(1))
    others.push(rowOf(`PLA, ${name}`, id, await look(stuffed(3, 0.5), normal)))
  others.push(rowOf('PETG, upright', id, await look(stuffed(3, 0.5), [0, 0, 1], PETG)))
  const on = async (infill: number, cellMm: number): Promise<Row> =>
    rowOf('', id, await look(stuffed(3, infill), [0, 0, 1], STARTING_FILAMENT, cellMm))
  const at = (infill: number) => recipes.find((r) => r.infill === infill && r.nShells === 3) as Row
  const filling: [Row, Row][] = [[at(0.5), at(1)]]
  for (const cellMm of MORE_CELLS_MM) filling.push([await on(0.5, cellMm), await on(1, cellMm)])
  return { id, places, recipes, others, filling }
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`
const recipeAt = (o: Outcome, nShells: number, infill: number) =>
  o.recipes.find((r) => r.infill === infill && (infill === 1 || r.nShells === nShells)) as Outcome['recipes'][number]

/** Does filling it up help: by the force of the weakest place, and by falls survived where all grids agree. */
const verdict = (o: Outcome): string => {
  const [half, full] = o.filling[0]
  const changes = o.filling.map(([a, b]) => b.survived - a.survived)
  const mean = (k: 0 | 1): number => o.filling.reduce((s, pair) => s + pair[k].survived, 0) / o.filling.length
  const heavier = percent(full.grams / half.grams - 1)
  const force = full.forceN / half.forceN
  const hand = Math.abs(force - 1) < 0.05 ? 'nothing' : force > 1 ? 'a help' : 'harm'
  const fall = changes.every((c) => c > 0.02)
    ? 'a help'
    : changes.every((c) => c < -0.02)
      ? 'harm'
      : Math.max(...changes.map(Math.abs)) < 0.05
        ? 'nothing'
        : 'not to be told apart from the grid'
  return `in the hand ${hand}; in falls ${fall} (${percent(mean(0))} to ${percent(mean(1))} survived, single grids ${changes.map((c) => `${c > 0 ? '+' : ''}${(100 * c).toFixed(0)}`).join(', ')} points); ${heavier} heavier`
}

/** Whether carried things and ankles lead, and why not where they do not. */
const thinFirst = (o: Outcome): string => {
  const thin = (p: { part: string }): boolean => CARRIED.includes(p.part) || p.part === 'ankle'
  if (o.places.length > 0 && thin(o.places[0])) return 'borne out'
  return 'not borne out: it carries nothing and its legs are thick; what leads is thin for another reason'
}

const table = (outcomes: readonly Outcome[]): string => {
  const lines = [
    '# What breaks on the demo crew',
    '',
    'Written by the test run with the quick look: limbs as a frame of beams on cells of 0.25 mm, 64 falls of 1 m on a hard floor, layers of',
    '0.1 mm, beads of 0.4 mm, PLA of the starting card unless said. Force and travel: at the place that breaks first under a finger. Full',
    'bonds between layers. Models: see [models](models.md).',
    '',
    '## Weak places, 3 shells and 50 % infill',
    '',
    'The trade says that thin weapons and ankles go first.',
    '',
    '| figure | place | height, mm | thickness, mm | force, N | travel, mm | first in falls | because | trade fact |',
    '|---|---|---|---|---|---|---|---|---|',
  ]
  for (const o of outcomes)
    o.places.forEach(({ part, place }, i) => {
      lines.push(
        `| ${o.id} | ${part} | ${place.heightMm.toFixed(1)} | ${place.thickMm.toFixed(2)} | ${place.forceN.value.toFixed(2)} (${place.forceN.low.toFixed(2)}-${place.forceN.high.toFixed(2)}) | ${place.travelMm.value.toFixed(2)} | ${percent(place.dropShare)} | ${place.causes.join(', ') || 'nothing in particular'} | ${i === 0 ? thinFirst(o) : ''} |`,
      )
    })
  lines.push(
    '',
    '## Shells and infill',
    '',
    'Share of falls survived; force and travel at the weakest place. Filled up, the number of shells makes no difference.',
    '',
    `| figure | infill | grams (2 / 3 / 4 shells) | survived | force, N | travel, mm |`,
    '|---|---|---|---|---|---|',
  )
  for (const o of outcomes)
    for (const infill of INFILL) {
      const rows = infill === 1 ? [recipeAt(o, 3, 1)] : SHELLS.map((n) => recipeAt(o, n, infill))
      const all = (pick: (r: Row) => string): string => rows.map(pick).join(' / ')
      lines.push(
        `| ${o.id} | ${percent(infill)} | ${all((r) => r.grams.toFixed(2))} | ${all((r) => percent(r.survived))} | ${all((r) => r.forceN.toFixed(2))} | ${all((r) => r.travelMm.toFixed(2))} |`,
      )
    }
  lines.push(
    '',
    '## Is it worth filling up',
    '',
    'From 50 to 100 % infill, 3 shells, as the mean of cells of 0.2, 0.25 and 0.3 mm; an effect counts where all three agree. The trade says',
    'that 100 % harms; part of that is surplus without room (see',
    '[where the plastic goes](crew-plastic.md)), which this table does not hold.',
    '',
    ...outcomes.map((o) => `- ${o.id}: ${verdict(o)}.`),
    '',
    '## Stance and plastic, 3 shells and 50 % infill',
    '',
    'Stance counts by the direction of the layers alone: props and what they mar are not in it.',
    '',
    '| figure | plastic and stance | survived | weakest place | force, N | travel, mm |',
    '|---|---|---|---|---|---|',
  )
  for (const o of outcomes)
    for (const r of o.others)
      lines.push(
        `| ${o.id} | ${r.what} | ${percent(r.survived)} | ${r.place} | ${r.forceN.toFixed(2)} | ${r.travelMm.toFixed(2)} |`,
      )
  return `${lines.join('\n')}\n`
}

test('the crew: what breaks first, and what shells, infill, stance and plastic do about it', async () => {
  const outcomes: Outcome[] = []
  for (const { id } of CREW) outcomes.push(await outcomeOf(id))
  mkdirSync(join(process.cwd(), 'docs'), { recursive: true })
  writeFileSync(join(process.cwd(), 'docs', 'crew-strength.md'), table(outcomes))
  const practice = 'common practice, no source'
  const walkers = outcomes.filter((o) => o.id !== 'ferry-dog')
  const led = walkers.filter((o) => thinFirst(o) === 'borne out').length
  checkOutside({
    room: 'strength',
    model: 'weak places of the crew',
    case: 'figures that carry something: a thin thing carried or an ankle breaks first',
    source: practice,
    expected: walkers.length,
    got: led,
    allowed: 0,
  })
  for (const o of walkers) {
    checkOutside({
      room: 'strength',
      model: 'weak places of the crew',
      case: `${o.id}: force at the weakest place, 15 to 50 % infill with 3 shells (thin parts hold shells alone)`,
      source: practice,
      expected: 1,
      got: recipeAt(o, 3, 0.5).forceN / recipeAt(o, 3, 0.15).forceN,
      allowed: 0.05,
    })
    // Laid along its length a thin upright shaft bears more; the scarf's tail flies level and does not.
    if (o.id !== 'lamplighter') expect(o.others[2].forceN).toBeGreaterThan(1.2 * o.others[0].forceN)
  }
  for (const o of outcomes) {
    expect(recipeAt(o, 3, 1).grams).toBeGreaterThan(recipeAt(o, 3, 0.5).grams)
    expect(recipeAt(o, 4, 0.15).grams).toBeGreaterThanOrEqual(recipeAt(o, 2, 0.15).grams)
  }
}, 900_000)
