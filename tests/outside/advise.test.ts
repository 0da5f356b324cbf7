// Recipe work against facts of the trade, closed forms and slow exact paths.

import { beforeAll, describe, expect, test } from 'vitest'
import {
  ADVICE_DEFAULTS,
  type AdviceWish,
  advise,
  carryOver,
  type TrialNumbers,
  trialNumbers,
  withNozzle,
} from '../../src/advise/index.ts'
import { BEAD_WISHES_DEFAULTS, planBeads } from '../../src/engine/beads/index.ts'
import { createExaminer, EXAMINE_DEFAULTS, withRecipe } from '../../src/engine/examine/index.ts'
import { checkRecipe, checkStep } from '../../src/engine/findings/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { timeBeads } from '../../src/engine/timing/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import {
  STARTING_FILAMENT as filament,
  type PrinterCard,
  STARTING_PRINTER as printer,
  type Recipe,
  STARTING_RECIPE,
} from '../../src/recipe/index.ts'
import { bytesOf, stlText } from '../mesh-files.ts'
import { cylinder, moved, sphere, together } from '../solids.ts'
import { circleLoop, stackByHand } from '../stack-by-hand.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const room = 'advise'
const PRACTICE = 'common practice, no source'

describe('recipe checks against facts of the trade', () => {
  const contradictions = (recipe: Recipe): string[] =>
    checkRecipe(recipe, printer, filament)
      .filter(({ kind }) => kind === 'contradiction')
      .map(({ id }) => id)

  test('the common-practice recipe raises no contradiction', () => {
    // Every line of the practice, written out here and not taken from the starting recipe.
    const practice: Recipe = {
      ...STARTING_RECIPE,
      firstLayerHeightMm: 0.2,
      beadWidthMm: 0.4,
      nShells: 3,
      nozzleC: 195,
      firstLayerNozzleC: 205,
      bedC: 60,
      speedMmPerS: 45,
      outerShellSpeedMmPerS: 22.5,
      cornerSpeedMmPerS: 5,
      liftMm: 0,
      fanShare: 1,
      fanFromLayer: 2,
      retractionMm: 5,
      retractionSpeedMmPerS: 40,
      gapBeads: true,
    }
    for (const layerHeightMm of [0.08, 0.1])
      for (const flowShare of [0.95, 1])
        for (const accelerationMmPerS2 of [300, 500])
          for (const [infillShare, capThicknessMm] of [
            [0.3, 0.8],
            [0.5, 1],
          ]) {
            const own = { ...practice, layerHeightMm, flowShare, accelerationMmPerS2, infillShare, capThicknessMm }
            const departures = checkRecipe(own, printer, filament).filter(({ kind }) => kind === 'departure')
            checkOutside({
              room,
              model: 'contradictions and departures of the recipe of common practice',
              case: `layers ${layerHeightMm} mm, flow ${flowShare}, acceleration ${accelerationMmPerS2}, infill ${infillShare}`,
              source: PRACTICE,
              expected: 0,
              got: contradictions(own).length + departures.length,
              allowed: 0,
            })
          }
  })

  test('each known mistake is caught', () => {
    const of = { room, source: PRACTICE, model: 'known mistake is caught', expected: 1, allowed: 0 }
    for (const [words, id, changes] of [
      ['100 % infill', 'infill-full', { infillShare: 1 }],
      ['corner speed above the speed', 'corner-speed', { cornerSpeedMmPerS: 50 }],
      ['9 mm retraction', 'retraction-grinds', { retractionMm: 9 }],
      ['outer shell at 10 mm/s', 'outer-shell-too-slow', { outerShellSpeedMmPerS: 10 }],
      ['outer shell at 12 mm/s', 'outer-shell-too-slow', { outerShellSpeedMmPerS: 12 }],
    ] as const)
      checkOutside({
        ...of,
        case: words,
        got: contradictions({ ...STARTING_RECIPE, ...changes }).includes(id) ? 1 : 0,
      })
    const hotter = { ...STARTING_RECIPE, nozzleC: 205, firstLayerNozzleC: 215 }
    const step = (b: Recipe): number => checkStep(STARTING_RECIPE, b).filter(({ id }) => id === 'nozzle-step').length
    checkOutside({ ...of, case: 'a step of 10 deg C between trials', got: step(hotter) })
    const five = { ...STARTING_RECIPE, nozzleC: 200, firstLayerNozzleC: 210 }
    checkOutside({ ...of, case: 'a step of 5 deg C is none', expected: 0, got: step(five) })
    const first = { ...STARTING_RECIPE, firstLayerNozzleC: 195 }
    checkOutside({
      ...of,
      case: 'a first layer 10 deg C hotter is no step',
      expected: 0,
      got: checkStep(first, STARTING_RECIPE).filter(({ id }) => id === 'nozzle-step').length,
    })
  })
})

describe('carrying over', () => {
  const from = { printer, filament }
  const layerTime = async (recipe: Recipe, machine: PrinterCard): Promise<number> => {
    const n = 6
    const layers = Array.from({ length: n }, () => [[circleLoop(0, 0, 8, 96)]])
    const plan = (
      await planBeads(
        stackByHand(layers, recipe.layerHeightMm),
        {
          ...BEAD_WISHES_DEFAULTS,
          ...recipe,
          capThicknessMm: 0,
          nPrimingLoops: 0,
          leftoverPoints: machine.leftoverPoints,
          densityGPerCm3: filament.densityGPerCm3,
        },
        kit,
      )
    ).plan
    const { layerRealS } = await timeBeads(plan, { printer: machine, filament, recipe }, { slowDown: false })
    return layerRealS[3]
  }

  test('melt rate and layer time are kept on another nozzle', async () => {
    const before = await layerTime(STARTING_RECIPE, printer)
    for (const bore of [0.25, 0.3, 0.5, 0.6]) {
      const machine = withNozzle(printer, bore)
      const { recipe, kept } = carryOver(STARTING_RECIPE, from, { printer: machine, filament })
      const rate = kept.find(({ id }) => id === 'melt-rate')!
      checkOutside({
        room,
        model: 'carry-over keeps the melt rate',
        case: `nozzle of ${bore} mm`,
        source: 'identity: speed times area of the stadium times flow',
        expected: rate.before,
        got: rate.after,
        allowed: 0.03,
        relative: true,
        unit: 'mm3/s',
      })
      // Acceleration stays within what practice knows, so a finer nozzle comes out slower than the ideal.
      checkOutside({
        room,
        model: 'carry-over keeps the layer time: disc of 16 mm, beads laid and timed',
        case: `nozzle of ${bore} mm`,
        source: 'slow exact path: the planner and the look-ahead of the timing room',
        expected: before,
        got: await layerTime(recipe, machine),
        allowed: 0.15,
        relative: true,
        unit: 's',
      })
    }
  })

  test('a post of another plastic has as long to set as before', () => {
    const petg = {
      ...filament,
      name: 'tougher plastic',
      plastic: 'PETG' as const,
      glassTransitionC: 80,
      softeningFromC: 70,
      softeningToC: 85,
      nozzleFromC: 230,
      nozzleToC: 250,
    }
    const { recipe, kept } = carryOver(STARTING_RECIPE, from, { printer, filament: petg })
    const cooling = kept.find(({ id }) => id === 'cooling')!
    checkOutside({
      room,
      model: 'time in which a 3 mm post comes down to softening',
      case: 'PLA to a plastic that softens at 70 deg C, fan share from it',
      source: 'lumped body, Incropera 5.1; fan share rounded to 5 %',
      expected: cooling.before,
      got: cooling.after,
      allowed: 0.05,
      relative: true,
      unit: 's',
    })
    expect(recipe.fanShare).toBeLessThan(1)
    checkOutside({
      room,
      model: 'bed as far from the glass transition',
      case: 'PLA at 60 deg C to a glass transition of 80 deg C',
      source: PRACTICE,
      expected: 80,
      got: recipe.bedC,
      allowed: 0,
      unit: 'deg C',
    })
  })

  test('a short tube wants a short retraction', () => {
    const direct = { ...printer, name: 'direct', feedType: 'direct' as const, feedTubeMm: 40 }
    const { recipe } = carryOver(STARTING_RECIPE, from, { printer: direct, filament })
    const of = { room, model: 'retraction carried from a bowden feed to a direct one', source: PRACTICE, unit: 'mm' }
    checkOutside({
      ...of,
      case: 'tube of 40 mm, at most',
      expected: 2,
      got: recipe.retractionMm,
      allowed: 0,
      relation: 'at most',
    })
    checkOutside({
      ...of,
      case: 'tube of 40 mm, at least',
      expected: 0.5,
      got: recipe.retractionMm,
      allowed: 0,
      relation: 'at least',
    })
  })
})

describe('advice', () => {
  // A base, a leg, a body and an arm that a fall breaks: small, so that every combination can be laid.
  const figure = together(cylinder(5, 1.5, 48), moved(cylinder(1, 6, 32), 0, 0, 1.5), moved(sphere(3, 32), 0, 0, 9))
  const bytes = bytesOf(stlText(figure))
  const settings = { ...EXAMINE_DEFAULTS, unit: 'mm' as const, scale: { by: 'ratio' as const, oneTo: 1 } }
  const own = { ...settings, scale: { by: 'total-height' as const, totalMm: 9 } }
  const wish = (changes: Partial<AdviceWish>): AdviceWish => ({
    ...ADVICE_DEFAULTS,
    beyondPractice: true,
    settings: own,
    stances: [{ stance: own.stance, words: 'as given' }],
    ...changes,
  })
  const single = {
    layerHeightMm: [0.1],
    nShells: [3],
    infillShare: [0.5],
    flowShare: [0.95],
    speedMmPerS: [45],
    accelerationMmPerS2: [300],
    leastLayerTimeS: [10],
  }
  const laid = async (recipe: Recipe): Promise<TrialNumbers> => {
    const bare = { withoutRemedies: true, heat: 'quick' } as const
    const outcome = await createExaminer(kit).examine(bytes, 'figure', withRecipe(own, recipe), bare)
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
    return trialNumbers(outcome.value)!
  }
  const row = (n: TrialNumbers): number[] => [n.fails, 1 / n.halfBreakM, n.shapeMm3, n.printS, n.massG]
  const beats = (a: number[], b: number[]): boolean => a.every((v, c) => v <= b[c]) && a.some((v, c) => v < b[c])

  test('the short list against laying every combination', async () => {
    const levels = { ...single, layerHeightMm: [0.1, 0.15], nShells: [1, 3], infillShare: [0.3, 0.5] }
    const all: { recipe: Recipe; row: number[] }[] = []
    for (const layerHeightMm of levels.layerHeightMm)
      for (const nShells of levels.nShells)
        for (const infillShare of levels.infillShare) {
          const recipe = { ...STARTING_RECIPE, layerHeightMm, nShells, infillShare }
          all.push({ recipe, row: row(await laid(recipe)) })
        }
    const front = all.filter(({ row: r }) => !all.some((other) => beats(other.row, r)))
    const same = (a: Recipe, b: Recipe): boolean =>
      a.layerHeightMm === b.layerHeightMm && a.nShells === b.nShells && a.infillShare === b.infillShare
    const source = 'slow exact path: every combination laid, every pair compared'

    const whole = await advise(bytes, 'figure', wish({ levels, nTrials: 8, most: 20 }), kit)
    if (!whole.ok) throw new Error(whole.issues[0].message)
    const found = front.filter(({ recipe }) => whole.value.picks.some((pick) => same(pick.recipe, recipe)))
    const of = { room, source }
    checkOutside({
      ...of,
      model: 'unbeaten recipes, all combinations tried',
      case: '8 combinations of layer height, shells, infill',
      expected: front.length,
      got: found.length,
      allowed: 0,
    })
    expect(whole.value.picks.length).toBe(front.length)

    const few = await advise(bytes, 'figure', wish({ levels, nTrials: 4, most: 20 }), kit)
    if (!few.ok) throw new Error(few.issues[0].message)
    const true_ = few.value.picks.filter((pick) => front.some(({ recipe }) => same(pick.recipe, recipe)))
    checkOutside({
      ...of,
      model: 'share of told recipes that nothing beats, half of the combinations tried',
      case: '4 of 8 laid',
      expected: 0.8,
      got: true_.length / few.value.picks.length,
      allowed: 0,
      relation: 'at least',
    })
    const again = await advise(bytes, 'figure', wish({ levels, nTrials: 4, most: 20 }), kit)
    expect(again).toEqual(few)
  })

  /** Told sensitivities of one base recipe against central differences of whole runs. */
  const checkSteps = async (
    base: Recipe,
    thorough: boolean,
    rows: readonly (readonly [
      keyof Recipe & string,
      'printS' | 'massG' | 'shapeMm3',
      Partial<Recipe>,
      Partial<Recipe>,
    ])[],
  ): Promise<void> => {
    const levels = { ...single, leastLayerTimeS: [base.leastLayerTimeS] }
    const settingsOfBase = withRecipe(own, base)
    const outcome = await advise(bytes, 'figure', wish({ settings: settingsOfBase, levels, nTrials: 2, thorough }), kit)
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
    for (const [key, number, low, high] of rows) {
      const told = outcome.value.sensitivities.find((s) => s.key === key)!
      const [a, b] = [await laid({ ...base, ...low }), await laid({ ...base, ...high })]
      checkOutside({
        room,
        model: `sensitivity of ${number} to one step of ${key}, ${thorough ? 'beads laid' : 'estimated from outlines'}`,
        case: `least layer time ${base.leastLayerTimeS} s`,
        source: 'central differences of whole runs of the engine',
        expected: (b[number] - a[number]) / 2,
        got: told[number] ?? Number.NaN,
        allowed: thorough ? 1e-9 : 1 / 3,
        relative: true,
      })
    }
  }
  const speeds = [
    { speedMmPerS: 35, outerShellSpeedMmPerS: 17.5 },
    { speedMmPerS: 55, outerShellSpeedMmPerS: 27.5 },
  ] as const
  const heights = [{ layerHeightMm: 0.08 }, { layerHeightMm: 0.12 }] as const

  test('sensitivities by laying beads are central differences of the engine', async () => {
    await checkSteps({ ...STARTING_RECIPE, leastLayerTimeS: 0 }, true, [
      ['speedMmPerS', 'printS', ...speeds],
      ['layerHeightMm', 'shapeMm3', ...heights],
    ])
  })

  test('estimated sensitivities lie within a third of central differences', async () => {
    await checkSteps({ ...STARTING_RECIPE, leastLayerTimeS: 0 }, false, [
      ['speedMmPerS', 'printS', ...speeds],
      ['layerHeightMm', 'printS', ...heights],
      ['flowShare', 'massG', { flowShare: 0.925 }, { flowShare: 0.975 }],
    ])
    await checkSteps(STARTING_RECIPE, false, [
      ['leastLayerTimeS', 'printS', { leastLayerTimeS: 8 }, { leastLayerTimeS: 12 }],
      ['layerHeightMm', 'printS', ...heights],
    ])
  })
})
