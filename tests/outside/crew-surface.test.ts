// How the demo crew will look: the lamplighter's face at 0.1 and 0.05 mm with what the difference costs, and the others beside him.

import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { CREW, type CrewMember } from '../../demo/crew.ts'
import { planBeads } from '../../src/engine/beads/index.ts'
import { EXAMINE_DEFAULTS, recipeInForce } from '../../src/engine/examine/index.ts'
import { standUp } from '../../src/engine/figure/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { readSculpt } from '../../src/engine/mesh/index.ts'
import { cutLayers, relateLayers } from '../../src/engine/sections/index.ts'
import {
  type LayerChoice,
  lookAtSurface,
  type RegionSteps,
  type SurfaceLook,
  viewingWords,
} from '../../src/engine/surface/index.ts'
import { findVanishing, measureOutlines, thinnestOver } from '../../src/engine/thickness/index.ts'
import { timeBeads } from '../../src/engine/timing/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER } from '../../src/recipe/index.ts'
import { crewBytes, crewSettings } from '../crew-files.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

interface Outcome {
  readonly id: string
  readonly look: SurfaceLook
  readonly minutes: number
}

const outcomeOf = async (id: CrewMember['id'], layerHeightMm: number): Promise<Outcome> => {
  const read = await readSculpt(crewBytes(id), { name: id })
  if (!read.ok) throw new Error(read.issues[0].message)
  const { scale, stance, eyeLineMm } = crewSettings(id)
  const stood = standUp(read.value, { scale, unit: 'mm', stance, eyeLineMm })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const figure = stood.value
  const recipe = { ...recipeInForce(EXAMINE_DEFAULTS), layerHeightMm }
  const layers = await cutLayers(figure.mesh, figure.max[2], recipe, kit)
  const relations = await relateLayers(layers, { allowanceMm: recipe.beadWidthMm / 2 }, kit)
  const outlineThickness = thinnestOver(layers, await measureOutlines(layers, {}))
  const vanishing = await findVanishing(layers, { beadWidthMm: recipe.beadWidthMm, outlineThickness }, kit)
  const { plan } = await planBeads(layers, { ...recipe, leftoverPoints: STARTING_PRINTER.leftoverPoints }, kit)
  const cards = { recipe, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
  const timeline = await timeBeads(plan, cards)
  const look = await lookAtSurface({ figure, layers, relations, vanishing, plan, timeline, ...cards }, kit)
  return { id, look, minutes: timeline.totals.printS / 60 }
}

const steps = (choice: LayerChoice, region: RegionSteps['region']): RegionSteps => {
  const found = choice.regions.find((r) => r.region === region)
  if (!found) throw new Error(`no ${region}`)
  return found
}
const choiceAt = (look: SurfaceLook, height: number): LayerChoice => {
  const found = look.steps.choices.find((c) => Math.abs(c.layerHeightMm - height) < 1e-9)
  if (!found) throw new Error(`no layers of ${height} mm`)
  return found
}
const um = (value: number): string => value.toFixed(0)
const percent = (share: number): string => `${(100 * share).toFixed(0)} %`

const table = (outcomes: readonly Outcome[], thin: Outcome): string => {
  const lamplighter = outcomes.find(({ id }) => id === 'lamplighter') as Outcome
  const face = (choice: LayerChoice) => steps(choice, 'face')
  const now = face(lamplighter.look.steps.choices[0])
  const fine = face(thin.look.steps.choices[0])
  const more = thin.minutes - lamplighter.minutes
  const lines = [
    '# How the demo crew will look',
    '',
    'Written by the test run from the starting recipe (3 shells of 0.4 mm, PLA), each bead over air setting alone in the air of the fan.',
    `Models: see [models](models.md). ${viewingWords()}`,
    '',
    "## The lamplighter's face at 0.1 and 0.05 mm",
    '',
    "| layers, mm | steps, mean, um | nine tenths below, um | Ra, um | shown at arm's length | layers | minutes, planned and timed |",
    '|---|---|---|---|---|---|---|',
    ...[
      [lamplighter, now],
      [thin, fine],
    ].map((pair) => {
      const [outcome, own] = pair as [Outcome, RegionSteps]
      const [choice] = outcome.look.steps.choices
      return `| ${choice.layerHeightMm} | ${um(own.meanUm)} | ${um(own.mostUm)} | ${own.raUm.toFixed(1)} | ${percent(own.shownShare)} | ${choice.nLayers} | ${outcome.minutes.toFixed(0)} |`
    }),
    '',
    `Half the layer halves the steps: ${um(now.meanUm)} to ${um(fine.meanUm)} um on the mean of the face, for ${more.toFixed(0)} minutes more. What shows at arm's length goes from ${percent(now.shownShare)} of the face to ${percent(fine.shownShare)}.`,
    'Workshops say that 0.05 mm tends to look worse, not better (common practice, no source). Steps alone do not bear that out. Left out here is',
    'what would speak for it: the nozzle passes twice as often over plastic that is still soft, an error of height or of flow is twice the share of',
    'a layer, and the feed pushes half as much a millimetre, so that its pulses show.',
    '',
    '## Face and cloak of the crew, and one constant height',
    '',
    '| figure | layers, mm | face, mean / Ra, um | face shown | cloak and all else, mean / Ra, um | shown | layers | minutes by number of layers |',
    '|---|---|---|---|---|---|---|---|',
    ...outcomes.flatMap(({ id, look }) =>
      [0.05, 0.08, 0.1, 0.15, 0.2].map((height) => {
        const choice = choiceAt(look, height)
        const [a, b] = [face(choice), steps(choice, 'cloak and all else')]
        return `| ${id} | ${height} | ${um(a.meanUm)} / ${a.raUm.toFixed(1)} | ${percent(a.shownShare)} | ${um(b.meanUm)} / ${b.raUm.toFixed(1)} | ${percent(b.shownShare)} | ${choice.nLayers} | ${choice.minutes.toFixed(0)} |`
      }),
    ),
    '',
    'A height that changes with the slope, between 0.05 and 0.12 mm and with no step higher than those of 0.1 mm, would take:',
    ...outcomes.map(({ id, look }) => {
      const [choice] = look.steps.choices
      const { nLayers, minutes } = look.steps.varying
      return `- ${id}: ${nLayers} layers instead of ${choice.nLayers}, ${minutes.toFixed(0)} minutes instead of ${choice.minutes.toFixed(0)}`
    }),
    '',
    'That is all that one constant height costs. It is the safe choice: flow, layer time and cooling stay the same from layer to layer, and no',
    'change of height shows as a band (common practice, no source).',
    '',
    '## Undersides, shape, bead starts (0.1 mm)',
    '',
    '| figure | most sag, mm | props / places | contact, mm2 | edges rounded by, mm | detail lost, mm3 | shrinks in height, mm | rim rises, mm | bead starts: all / bare / in front / on the face |',
    '|---|---|---|---|---|---|---|---|---|',
    ...outcomes.map(({ id, look }) => {
      const { hanging, props, lost, shrink, starts } = look
      const sag = hanging.layerSagMm.reduce((a, b) => Math.max(a, b), 0)
      return `| ${id} | ${sag.toFixed(2)} | ${props.nProps} / ${props.places.length} | ${props.contactMm2.toFixed(1)} | ${lost.edgeMm.toFixed(2)} | ${lost.vanishedMm3.toFixed(2)} | ${shrink.heightMm.toFixed(2)} | ${shrink.rimRiseMm.toFixed(2)} | ${starts.nStarts} / ${starts.nBare} / ${starts.nBareInFront} / ${starts.nBareOnFace} |`
    }),
  ]
  return `${lines.join('\n')}\n`
}

test("the crew: steps of the lamplighter's face at 0.1 and 0.05 mm and what the difference costs", async () => {
  const outcomes: Outcome[] = []
  for (const { id } of CREW) outcomes.push(await outcomeOf(id, 0.1))
  const thin = await outcomeOf('lamplighter', 0.05)
  const lamplighter = outcomes.find(({ id }) => id === 'lamplighter') as Outcome
  mkdirSync(join(process.cwd(), 'docs'), { recursive: true })
  writeFileSync(join(process.cwd(), 'docs', 'crew-surface.md'), table(outcomes, thin))
  // Answered from the spread of slopes, without cutting again, against a figure that was really cut, planned and timed anew.
  const told = choiceAt(lamplighter.look, 0.05)
  const [really] = thin.look.steps.choices
  expect(steps(told, 'face').meanUm).toBeCloseTo(steps(really, 'face').meanUm, 1)
  expect(Math.abs(told.nLayers - really.nLayers)).toBeLessThanOrEqual(2)
  expect(told.minutes / thin.minutes).toBeGreaterThan(0.85)
  expect(told.minutes / thin.minutes).toBeLessThan(1.15)
  for (const { id, look } of outcomes) {
    expect(look.regions.face).not.toBeNull()
    checkOutside({
      room: 'surface',
      model: 'share of the face whose steps show, 0.1 over 0.2 mm layers',
      case: id,
      source: 'common practice, no source: figures are printed at 0.08-0.10 mm, not at 0.2, for their faces',
      expected: 0.5,
      got: steps(choiceAt(look, 0.1), 'face').shownShare / steps(choiceAt(look, 0.2), 'face').shownShare,
      relation: 'at most',
      allowed: 0,
    })
  }
}, 400_000)
