// Translates a recipe to another nozzle, feed, filament or machine, keeping what matters: melt rate, layer time, heat.
//
// What is kept, in this order: the wall in mm, the volume a second (so the time of a layer whose volume is the same), the shape of the
// motion (acceleration with the square of the speed, corner speed with the speed), the time in which thin parts come down to softening.
// Where a card or a practice stands against it, the nearest allowed value is taken and said. Limits: ratios of simple models; the result
// is computed and untried, and an examination on a figure tells what it does.

import { beadArea, pitchOf } from '../engine/beads/index.ts'
import { checkRecipe, grindLimitMm, PLAY_SHARE, slowestOuterShell } from '../engine/findings/index.ts'
import { conductionLimit, diffusivityOf } from '../engine/melt/index.ts'
import { compareRecipes, type Recipe } from '../recipe/index.ts'
import { coolingS, fanForCooling, heatTimeS, meanCapacity } from './heat-of-cards.ts'
import type { Cards, CarriedLine, CarriedOver, KeptNumber } from './types.ts'

type Reasons = Map<keyof Recipe, string>

/** Rounded to a step that people type, without rounding noise. */
const toStep = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(6))
const within = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most)
/** Speeds are typed in half millimetres a second. */
const speedStep = (value: number): number => toStep(value, 0.5)

/** Acceleration between which practice is known, mm/s2, and corner speed up to which, mm/s. Common practice, no source. */
const GOOD_ACCELERATION = 500
const LEAST_ACCELERATION = 200
const GOOD_CORNER = 8

/** Volume rate of the base speed, mm3/s. */
const rateOf = ({ speedMmPerS, beadWidthMm, layerHeightMm, flowShare }: Recipe): number =>
  speedMmPerS * beadArea(beadWidthMm, layerHeightMm) * flowShare

/** Most that machine and plastic melt, mm3/s: the feed's own limit, or conduction into the core. */
export const meltLimitOf = ({ printer, filament }: Cards, nozzleC: number): number =>
  Math.min(
    printer.meltLimitMm3PerS,
    conductionLimit(
      printer.meltZoneMm,
      diffusivityOf(filament.conductivityWPerMK, filament.densityGPerCm3, meanCapacity(filament, 25, nozzleC)),
    ),
  )

/** Heights, widths, shells. */
const carryBeads = (recipe: Recipe, from: Cards, to: Cards, why: Reasons): Recipe => {
  const bore = to.printer.nozzleBoreMm
  const share = bore / from.printer.nozzleBoreMm
  const beadWidthMm = toStep(recipe.beadWidthMm * share, 0.01)
  const least = Math.min(beadWidthMm, Math.max(to.printer.leastBeadWidthMm, recipe.leastBeadWidthMm * share))
  const most = within(recipe.mostBeadWidthMm * share, beadWidthMm, Math.max(beadWidthMm, to.printer.nozzleLandMm))
  const layerHeightMm = toStep(within(recipe.layerHeightMm, 0.12 * bore, 0.5 * bore), 0.005)
  const firstLayerHeightMm = toStep(within(recipe.firstLayerHeightMm, layerHeightMm, 0.6 * bore), 0.005)
  why.set('beadWidthMm', 'keeps the bead as wide against the bore as before')
  why.set('leastBeadWidthMm', 'the same share of the bead, as far as the nozzle lays a whole strand')
  why.set('mostBeadWidthMm', 'the same share of the bead, within the flat end of the nozzle')
  why.set('layerHeightMm', `a layer lies between an eighth and half of the bore of ${bore} mm`)
  why.set('firstLayerHeightMm', `at most six tenths of the bore, so that it is pressed onto the bed`)
  const wall = recipe.nShells * pitchOf(recipe.beadWidthMm, recipe.layerHeightMm)
  const nShells = recipe.nShells === 0 ? 0 : within(Math.round(wall / pitchOf(beadWidthMm, layerHeightMm)), 1, 20)
  why.set('nShells', `keeps ${wall.toFixed(2)} mm of plastic from each side`)
  const volume = beadArea(recipe.beadWidthMm, recipe.firstLayerHeightMm)
  const nPrimingLoops = within(
    Math.round((recipe.nPrimingLoops * volume) / beadArea(beadWidthMm, firstLayerHeightMm)),
    Math.min(1, recipe.nPrimingLoops),
    20,
  )
  why.set('nPrimingLoops', 'the same volume fills the nozzle')
  return {
    ...recipe,
    beadWidthMm,
    leastBeadWidthMm: Number(least.toFixed(3)),
    mostBeadWidthMm: Number(most.toFixed(3)),
    layerHeightMm,
    firstLayerHeightMm,
    nShells,
    nPrimingLoops,
  }
}

/** Nozzle, bed, fan, least layer time. */
const carryHeat = (recipe: Recipe, before: Recipe, from: Cards, to: Cards, why: Reasons): Recipe => {
  const a = from.filament
  const b = to.filament
  const place = a.nozzleToC > a.nozzleFromC ? (before.nozzleC - a.nozzleFromC) / (a.nozzleToC - a.nozzleFromC) : 0.5
  const isOther = a.nozzleFromC !== b.nozzleFromC || a.nozzleToC !== b.nozzleToC
  const nozzleC = isOther
    ? within(toStep(b.nozzleFromC + place * (b.nozzleToC - b.nozzleFromC), 5), b.nozzleFromC, b.nozzleToC)
    : before.nozzleC
  const firstLayerNozzleC = isOther
    ? within(nozzleC + before.firstLayerNozzleC - before.nozzleC, b.nozzleFromC, Math.max(nozzleC, b.nozzleToC))
    : before.firstLayerNozzleC
  const bedC = within(toStep(before.bedC + b.glassTransitionC - a.glassTransitionC, 1), 0, 140)
  why.set('nozzleC', `as far up in the range of the filament card (${b.nozzleFromC} to ${b.nozzleToC} deg C) as before`)
  why.set('firstLayerNozzleC', 'as much hotter than the rest as before, within the filament card')
  why.set('bedC', 'as far from the glass transition as before')
  const wanted = coolingS(from, before.nozzleC, before.fanShare)
  const isSameAir = from.printer.fanAirMPerS === to.printer.fanAirMPerS && a === b
  const fanShare = isSameAir ? before.fanShare : toStep(fanForCooling(to, nozzleC, wanted), 0.05)
  why.set('fanShare', `a thin part comes down to softening in about ${wanted.toFixed(1)} s, as before`)
  const heated = { ...recipe, nozzleC, firstLayerNozzleC, bedC, fanShare }
  const ratio = heatTimeS(to, heated) / heatTimeS(from, before)
  const leastLayerTimeS = within(toStep(before.leastLayerTimeS * ratio, 0.5), 0, 120)
  why.set('leastLayerTimeS', 'the top of a thin post comes as close to softening as before (growing column)')
  return { ...heated, leastLayerTimeS }
}

/** Speeds and the shape of the motion. */
const carryMotion = (recipe: Recipe, before: Recipe, to: Cards, why: Reasons): Recipe => {
  const { printer } = to
  const limit = meltLimitOf(to, recipe.nozzleC)
  // The widest bead is laid at the same speed: it must not ask for more than can be melted.
  const widest = recipe.gapBeads ? Math.max(recipe.beadWidthMm, recipe.mostBeadWidthMm) : recipe.beadWidthMm
  const area = beadArea(recipe.beadWidthMm, recipe.layerHeightMm)
  const wanted = rateOf(before) / (area * recipe.flowShare)
  const melts = limit / (beadArea(widest, recipe.layerHeightMm) * recipe.flowShare)
  const most = Math.min(printer.xMostMmPerS, printer.yMostMmPerS, 300)
  const speedMmPerS = Math.max(5, speedStep(Math.min(wanted, melts, most)))
  const share = speedMmPerS / before.speedMmPerS
  const rate = `${rateOf(before).toFixed(2)} mm3/s`
  why.set(
    'speedMmPerS',
    wanted <= Math.min(melts, most)
      ? `keeps the melt rate of ${rate}, and with it the time of a layer`
      : melts < most
        ? `${rate} as before would ask for more in the widest bead than this feed and nozzle melt (${limit.toFixed(1)} mm3/s)`
        : `the machine does ${most} mm/s at most; the melt rate of ${rate} is not reached`,
  )
  const slowest = Math.ceil(slowestOuterShell({ recipe, ...to }))
  const outer = speedStep(before.outerShellSpeedMmPerS * share)
  const outerShellSpeedMmPerS = Math.min(Math.max(outer, slowest), Math.max(speedMmPerS, outer))
  why.set(
    'outerShellSpeedMmPerS',
    outer >= slowest
      ? 'the same share of the base speed'
      : `slower, the nozzle would linger too long over each place (${slowest} mm/s at least)`,
  )
  const firstRate = before.firstLayerSpeedMmPerS * beadArea(widest, recipe.firstLayerHeightMm) * recipe.flowShare
  const firstLayerSpeedMmPerS =
    firstRate > limit ? speedStep((before.firstLayerSpeedMmPerS * limit) / firstRate) : before.firstLayerSpeedMmPerS
  why.set('firstLayerSpeedMmPerS', 'the widest bead on the bed must not ask for more than can be melted')
  const leastSpeedMmPerS = within(speedStep(before.leastSpeedMmPerS * share), 1, outerShellSpeedMmPerS / 1.5)
  why.set('leastSpeedMmPerS', 'the same share of the base speed')

  const mostAcceleration = Math.min(printer.xMostMmPerS2, printer.yMostMmPerS2)
  const similar = before.accelerationMmPerS2 * share * share
  const allowed = Math.min(mostAcceleration, Math.max(GOOD_ACCELERATION, before.accelerationMmPerS2))
  const least = Math.min(LEAST_ACCELERATION, before.accelerationMmPerS2, allowed)
  const accelerationMmPerS2 = toStep(within(similar, least, allowed), 10)
  why.set(
    'accelerationMmPerS2',
    similar <= allowed
      ? 'goes with the square of the speed, so that moves keep their shape and corners cost the same share of the time'
      : `${Math.round(similar)} mm/s2 would keep the shape of the moves; ${allowed} is the most that is known to be good here, so layers take longer`,
  )
  const corner = Math.min(before.cornerSpeedMmPerS * share, Math.max(GOOD_CORNER, before.cornerSpeedMmPerS))
  const cornerSpeedMmPerS = toStep(Math.min(corner, outerShellSpeedMmPerS / 2), 0.5)
  why.set('cornerSpeedMmPerS', 'goes with the speed, as far as practice knows it, and stays below half the outer shell')
  const travelSpeedMmPerS = Math.min(before.travelSpeedMmPerS, Math.floor(most * Math.SQRT2))
  why.set('travelSpeedMmPerS', 'the machine does no more')
  return {
    ...recipe,
    speedMmPerS,
    outerShellSpeedMmPerS,
    firstLayerSpeedMmPerS,
    leastSpeedMmPerS,
    accelerationMmPerS2,
    cornerSpeedMmPerS,
    travelSpeedMmPerS,
  }
}

/** Retraction: the give of the tube, and what draws the stored melt back. */
const carryFeed = (recipe: Recipe, before: Recipe, from: Cards, to: Cards, why: Reasons): Recipe => {
  const play = PLAY_SHARE * from.printer.feedTubeMm
  const newPlay = PLAY_SHARE * to.printer.feedTubeMm
  const stored = (cards: Cards, own: Recipe): number =>
    (rateOf(own) * cards.printer.oozeTimeConstantS) / cards.filament.diameterMm ** 2
  const isSameFeed = play === newPlay && from.printer.oozeTimeConstantS === to.printer.oozeTimeConstantS
  const isSame = isSameFeed && from.filament.diameterMm === to.filament.diameterMm
  const melt = Math.max(0.3, before.retractionMm - play) * within(stored(to, recipe) / stored(from, before), 0.3, 3)
  const wanted = toStep(newPlay + melt, 0.1)
  const retractionMm =
    before.retractionMm === 0 ? 0 : Math.min(isSame ? before.retractionMm : wanted, grindLimitMm(to.filament), 15)
  why.set(
    'retractionMm',
    `a tube of ${to.printer.feedTubeMm} mm gives about ${newPlay.toFixed(1)} mm, the rest draws the melt back that pressure has stored`,
  )
  const retractionSpeedMmPerS = Math.min(before.retractionSpeedMmPerS, to.printer.filamentMostMmPerS)
  why.set('retractionSpeedMmPerS', 'the feed does no more')
  return { ...recipe, retractionMm, retractionSpeedMmPerS }
}

/** Changes that the checks of a recipe ask for, taken one after the other where the carried recipe would contradict its new cards. */
const settle = (recipe: Recipe, original: Recipe, from: Cards, to: Cards, why: Reasons): Recipe => {
  const knew = new Set(
    checkRecipe(original, from.printer, from.filament)
      .filter(({ kind }) => kind === 'contradiction')
      .map(({ id }) => id),
  )
  let settled = recipe
  for (let round = 0; round < 4; round++) {
    const wrong = checkRecipe(settled, to.printer, to.filament).find(
      ({ kind, id, change }) => kind === 'contradiction' && change && !knew.has(id),
    )
    if (!wrong?.change) break
    const key = wrong.change.what as keyof Recipe
    settled = { ...settled, [key]: wrong.change.to } as Recipe
    why.set(key, `otherwise: ${wrong.title.charAt(0).toLowerCase()}${wrong.title.slice(1)}`)
    knew.add(wrong.id)
  }
  return settled
}

/** Time and length a corner costs: distance over which the machine comes up to the outer shell's speed, mm. */
const runUpMm = ({ outerShellSpeedMmPerS, accelerationMmPerS2 }: Recipe): number =>
  outerShellSpeedMmPerS ** 2 / (2 * accelerationMmPerS2)

const keptNumbers = (before: Recipe, after: Recipe, from: Cards, to: Cards): KeptNumber[] => {
  const row = (id: KeptNumber['id'], label: string, unit: string, a: number, b: number): KeptNumber => ({
    id,
    label,
    unit,
    before: a,
    after: b,
    isKept: Math.abs(b - a) <= 0.05 * Math.abs(a) + 1e-12,
  })
  const perMm2 = (recipe: Recipe): number => recipe.layerHeightMm / rateOf(recipe)
  return [
    row('melt-rate', 'melt rate at the base speed', 'mm3/s', rateOf(before), rateOf(after)),
    row('layer-time', 'time to lay 100 mm2 of a layer at set speed', 's', 100 * perMm2(before), 100 * perMm2(after)),
    row(
      'wall',
      'plastic of the shells from each side',
      'mm',
      before.nShells * pitchOf(before.beadWidthMm, before.layerHeightMm),
      after.nShells * pitchOf(after.beadWidthMm, after.layerHeightMm),
    ),
    row('corner-loss', 'run-up to the outer shell speed', 'mm', runUpMm(before), runUpMm(after)),
    row(
      'linger',
      'time the nozzle lingers over a place of the outer shell',
      'ms',
      (1000 * from.printer.nozzleLandMm) / before.outerShellSpeedMmPerS,
      (1000 * to.printer.nozzleLandMm) / after.outerShellSpeedMmPerS,
    ),
    row(
      'cooling',
      'time in which a 3 mm post comes down to softening',
      's',
      coolingS(from, before.nozzleC, before.fanShare),
      coolingS(to, after.nozzleC, after.fanShare),
    ),
    row(
      'heat-time',
      'least layer time over what a 3 mm post needs',
      '',
      before.leastLayerTimeS / heatTimeS(from, before),
      after.leastLayerTimeS / heatTimeS(to, after),
    ),
    row(
      'melt-share',
      'share of what can be melted',
      '%',
      (100 * rateOf(before)) / meltLimitOf(from, before.nozzleC),
      (100 * rateOf(after)) / meltLimitOf(to, after.nozzleC),
    ),
  ]
}

/** Lines that only say what the recipe is called and belongs to. */
const NAMES: readonly string[] = ['name', 'printer', 'filament']

/**
 * Carries a recipe from the cards it was made for to others. The same cards give the same recipe.
 * @param name name of the result; otherwise the old one with "computed, untried" behind it
 */
export const carryOver = (recipe: Recipe, from: Cards, to: Cards, name?: string): CarriedOver => {
  const why: Reasons = new Map()
  const isSame = JSON.stringify(from) === JSON.stringify(to)
  const beads = carryBeads(recipe, from, to, why)
  const heated = carryHeat(beads, recipe, from, to, why)
  const moved = carryMotion(heated, recipe, to, why)
  const fed = carryFeed(moved, recipe, from, to, why)
  const values = isSame ? recipe : settle(fed, recipe, from, to, why)
  const carried: Recipe = {
    ...values,
    name: name ?? (isSame ? recipe.name : `${recipe.name} (carried over: computed, untried)`.slice(0, 200)),
    printer: to.printer.name,
    filament: to.filament.name,
  }
  const lines = compareRecipes(recipe, carried)
    .filter(({ key }) => !NAMES.includes(key))
    .map(({ key, words }): CarriedLine => ({ key, words, why: why.get(key) ?? 'follows from the other lines' }))
  return {
    kind: 'carried-over',
    recipe: carried,
    lines,
    kept: keptNumbers(recipe, carried, from, to),
    remarks: checkRecipe(carried, to.printer, to.filament),
  }
}
