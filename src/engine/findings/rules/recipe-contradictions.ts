// Contradictions of a recipe, in itself and against its cards: what cannot be right, whatever the figure.

import { conductionLimit, flowErrorOf } from '../../melt/index.ts'
import {
  askedRate,
  grindLimitMm,
  PRACTICE,
  plain,
  plasticDiffusivity,
  type RecipeRule,
  slowestOuterShell,
} from './recipe-remark.ts'

const cornerSpeed: RecipeRule = ({ recipe }) => {
  const slowest = Math.min(recipe.speedMmPerS, recipe.outerShellSpeedMmPerS)
  if (recipe.cornerSpeedMmPerS < slowest) return null
  const to = Math.min(5, slowest / 2)
  return {
    id: 'corner-speed',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['cornerSpeedMmPerS', 'outerShellSpeedMmPerS', 'speedMmPerS'],
    title: `The corner speed of ${plain(recipe.cornerSpeedMmPerS)} mm/s is not below the print speed of ${plain(slowest)} mm/s, so corners are not slowed at all`,
    why: `The machine changes direction at full speed at once, and the shock shows beside every edge; about 5 mm/s, always below the print speed. ${PRACTICE}`,
    evidence: [{ label: 'corner speed', value: recipe.cornerSpeedMmPerS, unit: 'mm/s', limit: slowest }],
    change: { what: 'cornerSpeedMmPerS', from: recipe.cornerSpeedMmPerS, to },
  }
}

/** A layer as high as the bore is wide is no longer pressed onto the one below. */
const layerOverBore =
  (key: 'layerHeightMm' | 'firstLayerHeightMm', called: string): RecipeRule =>
  ({ recipe, printer }) => {
    const height = recipe[key]
    const { nozzleBoreMm } = printer
    if (height < nozzleBoreMm) return null
    const to = Number((nozzleBoreMm * (key === 'layerHeightMm' ? 0.25 : 0.5)).toFixed(3))
    return {
      id: key === 'layerHeightMm' ? 'layer-over-bore' : 'first-layer-over-bore',
      kind: 'contradiction',
      severity: 'breaks',
      keys: [key],
      title: `The ${called} of ${plain(height)} mm is not below the nozzle bore of ${plain(nozzleBoreMm)} mm`,
      why: 'The nozzle lays a round strand as thick as its bore; only a lower gap presses it flat onto what lies below. At this height it is dropped, not pressed. Geometry.',
      evidence: [{ label: called, value: height, unit: 'mm', limit: nozzleBoreMm }],
      change: { what: key, from: height, to },
    }
  }

const beadUnderHeight: RecipeRule = ({ recipe }) => {
  const { beadWidthMm, layerHeightMm, firstLayerHeightMm } = recipe
  const height = Math.max(layerHeightMm, firstLayerHeightMm)
  if (beadWidthMm >= height) return null
  return {
    id: 'bead-under-height',
    kind: 'contradiction',
    severity: 'breaks',
    keys: ['beadWidthMm', 'layerHeightMm', 'firstLayerHeightMm'],
    title: `The bead is ${plain(beadWidthMm)} mm wide and ${plain(height)} mm high: it would stand on edge`,
    why: 'A bead that is pressed down is wider than it is high. Geometry.',
    evidence: [{ label: 'bead width', value: beadWidthMm, unit: 'mm', limit: height }],
    change: null,
  }
}

const beadOutsideNozzle: RecipeRule = ({ recipe, printer }) => {
  const { leastBeadWidthMm, mostBeadWidthMm, beadWidthMm } = recipe
  if (beadWidthMm > printer.nozzleLandMm || (recipe.gapBeads && mostBeadWidthMm > printer.nozzleLandMm + 1e-9)) {
    const wide = Math.max(beadWidthMm, mostBeadWidthMm)
    return {
      id: 'bead-over-land',
      kind: 'contradiction',
      severity: 'marks',
      keys: ['mostBeadWidthMm', 'beadWidthMm'],
      title: `Beads up to ${plain(wide)} mm wide reach beyond the flat end of the nozzle, ${plain(printer.nozzleLandMm)} mm across`,
      why: 'What swells out beyond the flat end is not pressed down and stands up at the edge. Geometry.',
      evidence: [{ label: 'widest bead', value: wide, unit: 'mm', limit: printer.nozzleLandMm }],
      change:
        beadWidthMm > printer.nozzleLandMm
          ? null
          : { what: 'mostBeadWidthMm', from: mostBeadWidthMm, to: printer.nozzleLandMm },
    }
  }
  if (leastBeadWidthMm >= printer.leastBeadWidthMm) return null
  return {
    id: 'bead-under-card',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['leastBeadWidthMm'],
    title: `Beads down to ${plain(leastBeadWidthMm)} mm are asked for; this nozzle lays none below ${plain(printer.leastBeadWidthMm)} mm as a whole strand`,
    why: 'Narrower than that the strand tears into drops. The limit stands on the printer card.',
    evidence: [{ label: 'least bead width', value: leastBeadWidthMm, unit: 'mm', limit: printer.leastBeadWidthMm }],
    change: { what: 'leastBeadWidthMm', from: leastBeadWidthMm, to: printer.leastBeadWidthMm },
  }
}

/** A thick filament may overfill by a shade: plastic yields into rounded edges. A thin one leaves gaps below this share. From memory. */
const MOST_FILLED = 1.06
const LEAST_FILLED = 0.87

const flowTimesTolerance: RecipeRule = ({ recipe, filament }) => {
  const { flowShare } = recipe
  const { diameterMm, diameterToleranceMm } = filament
  const most = flowShare * (1 + flowErrorOf(diameterToleranceMm, diameterMm))
  const least = flowShare * (1 + flowErrorOf(-diameterToleranceMm, diameterMm))
  if (most <= MOST_FILLED && least >= LEAST_FILLED) return null
  const over = most > MOST_FILLED
  const to = over
    ? Math.floor((100 * MOST_FILLED * flowShare) / most) / 100
    : Math.ceil((100 * LEAST_FILLED * flowShare) / least) / 100
  const isMendable = to * (most / flowShare) <= MOST_FILLED && to * (least / flowShare) >= LEAST_FILLED
  return {
    id: 'flow-times-tolerance',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['flowShare'],
    title: `A flow of ${plain(flowShare * 100)} % lays ${plain(least * 100)} to ${plain(most * 100)} % with filament of ${plain(diameterMm)} mm within ${plain(diameterToleranceMm)} mm; ${
      over
        ? `above ${100 * MOST_FILLED} % the surplus finds no room`
        : `below ${100 * LEAST_FILLED} % beads no longer touch`
    }`,
    why: `The volume goes with the square of the diameter. ${isMendable ? '' : 'No flow settles both ends: measure the filament and write its true diameter on the card. '}Limits from memory: rounded edges take up a few percent.`,
    evidence: [
      { label: 'with the thinnest filament', value: least * 100, unit: '%', limit: LEAST_FILLED * 100 },
      { label: 'with the thickest', value: most * 100, unit: '%', limit: MOST_FILLED * 100 },
    ],
    change: isMendable ? { what: 'flowShare', from: flowShare, to } : null,
  }
}

const outerShellTooSlow: RecipeRule = (asked) => {
  const { recipe, printer } = asked
  const slowest = slowestOuterShell(asked)
  if (recipe.outerShellSpeedMmPerS >= slowest) return null
  const lingerS = printer.nozzleLandMm / recipe.outerShellSpeedMmPerS
  const reach = 2 * Math.sqrt(plasticDiffusivity(asked.filament, recipe.nozzleC) * lingerS)
  return {
    id: 'outer-shell-too-slow',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['outerShellSpeedMmPerS'],
    title: `At ${plain(recipe.outerShellSpeedMmPerS)} mm/s the hot nozzle lingers ${plain(lingerS * 1000, 2)} ms over each place of the outer shell and softens it ${plain(reach, 2)} mm deep`,
    why: `Heat from the flat end of the nozzle reaches 2 sqrt(alpha t) into the plastic (half-space, Carslaw & Jaeger). Outer shells of 10 to 12 mm/s look worse on small parts; the limit of ${plain(slowest, 2)} mm/s is that practice carried to this nozzle and plastic. ${PRACTICE}`,
    evidence: [{ label: 'outer shell speed', value: recipe.outerShellSpeedMmPerS, unit: 'mm/s', limit: slowest }],
    change: {
      what: 'outerShellSpeedMmPerS',
      from: recipe.outerShellSpeedMmPerS,
      to: Math.max(Math.ceil(slowest), recipe.speedMmPerS / 2),
    },
  }
}

const retractionGrinds: RecipeRule = ({ recipe, printer, filament }) => {
  const limit = grindLimitMm(filament)
  if (recipe.retractionMm <= limit) return null
  return {
    id: 'retraction-grinds',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['retractionMm'],
    title: `A retraction of ${plain(recipe.retractionMm)} mm sends the same piece of filament under the feed gear too often; ${plain(limit)} mm is the most`,
    why: `A piece passes as often as retractions begin within the length drawn back; with one for every 0.7 mm of filament, as on the limbs of a figure, ${filament.mostGearPasses} passes are used up at ${plain(limit)} mm. 5 mm is usual with a long tube, much longer ones chew the filament. ${PRACTICE} The examination counts the passes of the figure itself.`,
    evidence: [{ label: 'retraction', value: recipe.retractionMm, unit: 'mm', limit }],
    change: { what: 'retractionMm', from: recipe.retractionMm, to: printer.feedType === 'bowden' ? 5 : 1 },
  }
}

const meltLimit: RecipeRule = ({ recipe, printer, filament }) => {
  const { rate, key } = askedRate(recipe)
  const conduction = conductionLimit(printer.meltZoneMm, plasticDiffusivity(filament, recipe.nozzleC))
  const limit = Math.min(conduction, printer.meltLimitMm3PerS)
  if (rate <= limit) return null
  const speed = recipe[key] as number
  return {
    id: 'melt-limit',
    kind: 'contradiction',
    severity: 'breaks',
    keys: [key, 'layerHeightMm', 'mostBeadWidthMm'],
    title: `The recipe asks for up to ${plain(rate)} mm3/s; ${plain(limit)} can be melted`,
    why: `${conduction < printer.meltLimitMm3PerS ? 'The core of the filament is warm at a Fourier number of 0.2 (Carslaw & Jaeger), 5 pi alpha times the length of the melt zone.' : 'The limit stands on the printer card.'} Reckoned with set speeds and the widest bead; small figures may never reach them.`,
    evidence: [
      { label: 'rate asked for', value: rate, unit: 'mm3/s', limit },
      { label: 'limit by conduction', value: conduction, unit: 'mm3/s' },
    ],
    change: { what: key, from: speed, to: Math.floor((speed * limit) / rate) },
  }
}

const nozzleOutsideCard: RecipeRule = ({ recipe, filament }) => {
  const { nozzleFromC, nozzleToC } = filament
  for (const [key, called] of [
    ['nozzleC', 'nozzle'],
    ['firstLayerNozzleC', 'nozzle on the first layer'],
  ] as const) {
    const celsius = recipe[key]
    if (celsius >= nozzleFromC && celsius <= nozzleToC) continue
    return {
      id: 'nozzle-outside-card',
      kind: 'contradiction',
      severity: 'marks',
      keys: [key],
      title: `The ${called} is at ${plain(celsius, 4)} °C; the filament card says ${nozzleFromC} to ${nozzleToC} °C`,
      why: 'Below that range it does not melt evenly, above it the plastic breaks down and drips. The range stands on the filament card; for another spool write its maker’s range there.',
      evidence: [{ label: called, value: celsius, unit: '°C', limit: celsius > nozzleToC ? nozzleToC : nozzleFromC }],
      change: { what: key, from: celsius, to: Math.min(Math.max(celsius, nozzleFromC), nozzleToC) },
    }
  }
  return null
}

const beyondMachine: RecipeRule = ({ recipe, printer }) => {
  const most = Math.min(printer.xMostMmPerS, printer.yMostMmPerS)
  const mostAcceleration = Math.min(printer.xMostMmPerS2, printer.yMostMmPerS2)
  const lines = [
    ['speedMmPerS', 'speed', most, 'mm/s'],
    ['outerShellSpeedMmPerS', 'outer shell speed', most, 'mm/s'],
    ['firstLayerSpeedMmPerS', 'first layer speed', most, 'mm/s'],
    ['travelSpeedMmPerS', 'travel speed', most * Math.SQRT2, 'mm/s'],
    ['accelerationMmPerS2', 'acceleration', mostAcceleration * Math.SQRT2, 'mm/s2'],
    ['retractionSpeedMmPerS', 'retraction speed', printer.filamentMostMmPerS, 'mm/s'],
  ] as const
  const over = lines.find(([key, , limit]) => recipe[key] > limit)
  if (!over) return null
  const [key, called, limit, unit] = over
  return {
    id: 'beyond-machine',
    kind: 'contradiction',
    severity: 'note',
    keys: [key],
    title: `The ${called} of ${plain(recipe[key])} ${unit} is more than this machine does (${plain(limit)} ${unit})`,
    why: 'The machine cuts it down to its own limit; the typed number is never reached. The limit stands on the printer card.',
    evidence: [{ label: called, value: recipe[key], unit, limit }],
    change: { what: key, from: recipe[key], to: Math.floor(limit) },
  }
}

const leastSpeedOverShell: RecipeRule = ({ recipe }) => {
  const slowest = Math.min(recipe.speedMmPerS, recipe.outerShellSpeedMmPerS)
  if (recipe.leastSpeedMmPerS < slowest || recipe.waitForLayerTime || recipe.leastLayerTimeS <= 0) return null
  return {
    id: 'least-speed-over-speed',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['leastSpeedMmPerS'],
    title: `The least speed of ${plain(recipe.leastSpeedMmPerS)} mm/s is not below the set speed of ${plain(slowest)} mm/s: short layers cannot be slowed down`,
    why: 'The least layer time is reached by slowing down to the least speed; here there is nothing to slow. Set it lower, or let the nozzle wait.',
    evidence: [{ label: 'least speed', value: recipe.leastSpeedMmPerS, unit: 'mm/s', limit: slowest }],
    change: { what: 'leastSpeedMmPerS', from: recipe.leastSpeedMmPerS, to: Math.max(1, Math.round(slowest / 2)) },
  }
}

const overfull: RecipeRule = ({ recipe, filament }) => {
  const { infillShare, flowShare } = recipe
  if (infillShare < 0.95) return null
  const thick = flowShare * (1 + flowErrorOf(filament.diameterToleranceMm, filament.diameterMm))
  return {
    id: 'infill-full',
    kind: 'contradiction',
    severity: 'marks',
    keys: ['infillShare'],
    title: `${plain(infillShare * 100)} % infill leaves a surplus no room to go`,
    why: `With thick filament ${plain(thick * 100)} % of the volume is laid; in a lattice the surplus goes inside, in a full figure it comes out at the walls, and weight goes up. At least 30 %, 50 % is good. ${PRACTICE}`,
    evidence: [{ label: 'infill share', value: infillShare * 100, unit: '%', limit: 95 }],
    change: { what: 'infillShare', from: infillShare, to: 0.5 },
  }
}

const emptyBead: RecipeRule = ({ recipe }) => {
  if (recipe.nShells > 0 || recipe.infillShare > 0) return null
  return {
    id: 'nothing-inside',
    kind: 'contradiction',
    severity: 'breaks',
    keys: ['nShells', 'infillShare'],
    title: 'No shells and no infill: only floors and roofs would be laid',
    why: 'Walls are made of shells. Three are usual for figures.',
    evidence: [{ label: 'shells', value: recipe.nShells, unit: '', limit: 1 }],
    change: { what: 'nShells', from: 0, to: 3 },
  }
}

/** Every check for contradictions. */
export const CONTRADICTIONS: readonly RecipeRule[] = [
  cornerSpeed,
  layerOverBore('firstLayerHeightMm', 'first layer height'),
  layerOverBore('layerHeightMm', 'layer height'),
  beadUnderHeight,
  beadOutsideNozzle,
  flowTimesTolerance,
  overfull,
  emptyBead,
  outerShellTooSlow,
  leastSpeedOverShell,
  retractionGrinds,
  meltLimit,
  nozzleOutsideCard,
  beyondMachine,
]
