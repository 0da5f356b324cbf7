// How it will look: steps on the face, what needs props, beads that sag, bead starts that show, a base that curls.

import {
  type LayerChoice,
  type PropPlace,
  type RegionSteps,
  RUN_COLUMNS,
  RUN_ROW,
  START_COLUMNS,
  START_ROW,
  type SurfaceLook,
} from '../../surface/index.ts'
import { followSightings } from '../follow.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layerAt, MOST_OF_A_RULE, mm, present, type Rule, remedy, whereInWords } from '../rule.ts'
import type { Finding, Remedy } from '../types.ts'

/** Share of the face that may show steps before it is told, and before it marks the figure. No source. */
const TOLD_SHARE = 0.03
const MARKS_SHARE = 0.25
/** Layer heights that are proposed, mm. */
const THINNER = [0.12, 0.1, 0.08, 0.05]
/** Sag in layer heights from which a place is told, and from which it marks. No source. */
const TOLD_SAG = 1
const MARKS_SAG = 3
/** Bare starts on the face from which they are told. */
const TOLD_STARTS = 4

const faceOf = (choice: LayerChoice): RegionSteps | undefined => choice.regions.find(({ region }) => region === 'face')
const percent = (share: number): string => `${Math.round(100 * share)} %`

/** A thinner layer with what it brings the face. */
const thinner = (surface: SurfaceLook): Remedy | null => {
  const [now, ...others] = surface.steps.choices
  const before = faceOf(now)
  const to = THINNER.find((h) => h < now.layerHeightMm - 0.005)
  const choice = others.find((c) => c.layerHeightMm === to)
  const after = choice && faceOf(choice)
  if (!to || !before || !after || !choice) return null
  return {
    ...remedy('layers', `lay layers of ${to} mm`, 'layerHeightMm', now.layerHeightMm, to),
    effect: {
      resolves: after.shownShare < TOLD_SHARE,
      label: 'steps on the face',
      before: before.meanUm,
      after: after.meanUm,
      unit: 'um',
      brings: [],
      ...(Number.isFinite(choice.minutes) ? { minutes: choice.minutes - now.minutes } : {}),
    },
  }
}

/** Height and place of the face where most of its steps show. */
const worstOnFace = (results: RoomResults, { steps, regions }: SurfaceLook): number => {
  const face = regions.face as NonNullable<typeof regions.face>
  let best = layerAt(results, face.fromMm)
  for (let k = best; k <= layerAt(results, face.toMm); k++)
    if (steps.layerShownMm2[k] > steps.layerShownMm2[best]) best = k
  return best
}

export const stepsOnFace: Rule = {
  id: 'steps-on-face',
  about: "Steps on the face that an eye tells apart at arm's length, with what a thinner layer buys.",
  look: (results) => {
    const { surface, layers } = results
    const now = surface?.steps.choices[0]
    const face = now && faceOf(now)
    if (!surface || !face || !surface.regions.face || face.shownShare < TOLD_SHARE) return []
    const { fromMm, toMm, box } = surface.regions.face
    const layer = worstOnFace(results, surface)
    const { varying } = surface.steps
    return [
      {
        id: 'steps-on-face',
        rule: 'steps-on-face',
        severity: face.shownShare >= MARKS_SHARE ? 'marks' : 'note',
        title: `Steps of ${Math.round(face.meanUm)} um on the face: ${percent(face.shownShare)} of it shows them at arm's length`,
        place: {
          fromMm,
          toMm,
          point: [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2, layers.cutZ[layer]],
          areaMm2: face.areaMm2,
          fromLayer: layerAt(results, fromMm),
          toLayer: layerAt(results, toMm),
        },
        evidence: [
          { label: 'steps, mean', value: face.meanUm, unit: 'um' },
          { label: 'nine tenths stay below', value: face.mostUm, unit: 'um' },
          { label: 'roughness Ra', value: face.raUm, unit: 'um' },
          { label: 'of the face that shows them', value: 100 * face.shownShare, unit: '%', limit: 100 * TOLD_SHARE },
        ],
        certainty: { share: 0.7, cause: 'light from the side shows less, a younger eye and raking light show more' },
        why:
          `${surface.steps.viewing} ${surface.regions.face.reason} Cusp height t cos theta; Ra with half-round bead sides. ` +
          `Keep one height: a height that changes from ${varying.fromMm} to ${varying.toMm} mm with the slope would take ${varying.nLayers} layers instead of ${now.nLayers}, ` +
          'but each change alters flow and layer time, and shows as a band of its own (common practice, no source).',
        remedies: present([thinner(surface)]),
      },
    ]
  },
}

const PLACE_WORDS: Readonly<Record<PropPlace['why'], string>> = {
  'starts in mid air': 'starts in mid air',
  'hangs out': 'hangs out over air',
  spans: 'spans air',
}

export const needsProps: Rule = {
  id: 'needs-props',
  about: 'Undersides that need props, how many, and how much contact they leave.',
  look: (results) => {
    const { surface, layers } = results
    if (!surface || surface.props.places.length === 0) return []
    const { places, nProps, contactMm2, volumeMm3, pitchMm } = surface.props
    const worst = places.reduce((a, b) => (b.areaMm2 > a.areaMm2 ? b : a))
    const [x, y, z] = worst.at
    const n = places.length
    const onFigure = places.filter((p) => p.onFigure).length
    return [
      {
        id: 'needs-props',
        rule: 'needs-props',
        severity: 'costs',
        title: `${n === 1 ? 'One underside needs' : `${n} undersides need`} props, about ${nProps} thin pillars in all, touching ${contactMm2.toFixed(1)} mm2 of the figure`,
        place: {
          fromMm: z,
          toMm: layers.faceZ[Math.min(layers.nLayers, worst.layer + 1)],
          point: [x, y, z],
          areaMm2: worst.areaMm2,
          fromLayer: worst.layer,
          toLayer: worst.layer,
        },
        evidence: [
          { label: 'props', value: nProps, unit: '' },
          { label: 'contact that leaves marks', value: contactMm2, unit: 'mm2' },
          { label: 'plastic in props', value: volumeMm3, unit: 'mm3' },
          { label: 'places where they stand on the figure', value: onFigure, unit: '' },
        ],
        certainty: { share: 0.6, cause: 'estimated from areas and heights; the props themselves are not laid out' },
        why:
          `A prop is a thin pillar printed along under what has nothing below it, and broken off afterwards; it is put in where the print file is made. ` +
          `The largest ${PLACE_WORDS[worst.why]} at ${mm(z, 1)}, ${whereInWords(results, x, y)}. Counted is what starts in mid air, hangs out over one and a half beads, ` +
          `or spans more than ${mm(pitchMm, 1)}, the stretch that sags by half a layer. Where a stance does without, the finding of that place says so.`,
        remedies: [],
      },
    ]
  },
}

/** Cooler plastic and more air, with the share of the sag that they leave. */
const coolerRemedies = ({ print }: RoomResults, { hanging }: SurfaceLook, sagMm: number, limitMm: number): Remedy[] => {
  if (!print) return []
  const { recipe, filament } = print
  const left = (share: number): Remedy['effect'] => ({
    resolves: sagMm * share < limitMm,
    label: 'sag',
    before: sagMm,
    after: sagMm * share,
    unit: 'mm',
    brings: [],
  })
  const cooler = recipe.nozzleC - 10
  return present([
    recipe.fanShare < 0.95
      ? { ...remedy('fan', 'fan full', 'fanShare', recipe.fanShare, 1), effect: left(hanging.fullFanShare) }
      : null,
    cooler >= filament.nozzleFromC
      ? {
          ...remedy('cooler', `nozzle 10 deg C cooler, in two steps`, 'nozzleC', recipe.nozzleC, cooler),
          effect: left(hanging.coolerShare),
        }
      : null,
  ])
}

export const sags: Rule = {
  id: 'sags',
  foldsNotes: true,
  about: 'Beads over air that sink by more than a layer while they are soft.',
  look: (results) => {
    const { surface, layers, settings } = results
    if (!surface) return []
    const { runs, nRuns, cooling, setS } = surface.hanging
    const limit = TOLD_SAG * settings.layerHeightMm
    const rows: number[] = []
    for (let r = 0; r < nRuns; r++) if (runs[r * RUN_COLUMNS + RUN_ROW.sagMm] > limit) rows.push(r * RUN_COLUMNS)
    const groups = followSightings(
      rows.map((row) => ({
        layer: runs[row + RUN_ROW.layer],
        x: runs[row + RUN_ROW.x],
        y: runs[row + RUN_ROW.y],
        reach: 4,
      })),
      4,
    )
    return groups
      .map((group): Finding => {
        const row = group
          .map((i) => rows[i])
          .reduce((a, b) => (runs[b + RUN_ROW.sagMm] > runs[a + RUN_ROW.sagMm] ? b : a))
        const of = (column: number): number => runs[row + column]
        const layer = of(RUN_ROW.layer)
        const z = layers.faceZ[layer]
        const [x, y, sag] = [of(RUN_ROW.x), of(RUN_ROW.y), of(RUN_ROW.sagMm)]
        const held =
          of(RUN_ROW.holds) === 2
            ? 'held at both ends'
            : of(RUN_ROW.holds) === 1
              ? 'held at one end'
              : 'held by its side'
        return {
          id: findingId('sags', z, x, y),
          rule: 'sags',
          severity: sag > MARKS_SAG * settings.layerHeightMm ? 'marks' : 'note',
          title: `A bead of ${mm(of(RUN_ROW.lengthMm), 1)} over air sags ${mm(sag)} at ${mm(z, 1)}, ${whereInWords(results, x, y)}`,
          place: {
            fromMm: z,
            toMm: layers.faceZ[Math.min(layers.nLayers, layer + 1)],
            point: [x, y, z],
            areaMm2: of(RUN_ROW.lengthMm) * settings.beadWidthMm,
            fromLayer: layer,
            toLayer: layer,
          },
          evidence: [
            { label: 'sag', value: sag, unit: 'mm', limit },
            { label: 'length over air', value: of(RUN_ROW.lengthMm), unit: 'mm' },
            { label: 'time until it has set', value: setS, unit: 's' },
          ],
          certainty: {
            share: 0.5,
            cause:
              cooling === 'from heat'
                ? 'viscosity differs between spools, and the nozzle pulls a span tight'
                : 'heat was not followed through every bead, viscosity differs between spools, and the nozzle pulls a span tight',
          },
          why:
            `The bead is ${held} and sinks as a viscous beam (three times the viscosity for the modulus, Trouton 1906) until it is below its glass transition` +
            `${cooling === 'from heat' ? ', by the times of the heat calculation' : ', cooling alone in the air of the fan'}; long ones hang as cords.`,
          remedies: coolerRemedies(results, surface, sag, limit),
        }
      })
      .sort((a, b) => b.evidence[0].value - a.evidence[0].value)
      .slice(0, MOST_OF_A_RULE)
  },
}

/** Side of a box in plan on which a place lies, in words; the front is towards -y. */
const sideOf = ([x0, y0, x1, y1]: readonly [number, number, number, number], x: number, y: number): string => {
  const across = (2 * x - x0 - x1) / Math.max(1e-9, x1 - x0)
  const along = (2 * y - y0 - y1) / Math.max(1e-9, y1 - y0)
  if (Math.abs(along) >= Math.abs(across)) return along > 0 ? 'at the back' : 'in front'
  return across > 0 ? 'on the right' : 'on the left'
}

export const startsOnFace: Rule = {
  id: 'starts-on-face',
  about: 'Bead starts that lie bare on the face.',
  look: (results) => {
    const { surface, layers } = results
    if (!surface?.regions.face || surface.starts.nBareOnFace < TOLD_STARTS) return []
    const { starts, nStarts, nBareOnFace, leastAt, leastBare } = surface.starts
    const { fromMm, toMm } = surface.regions.face
    let row = 0
    for (let s = 0; s < nStarts; s++)
      if (starts[s * START_COLUMNS + START_ROW.face] === 1 && starts[s * START_COLUMNS + START_ROW.bareShare] > 0.5)
        row = s * START_COLUMNS
    const layer = starts[row + START_ROW.layer]
    const { box } = surface.regions.face
    const better = sideOf(box, leastAt[2 * layer], leastAt[2 * layer + 1])
    return [
      {
        id: 'starts-on-face',
        rule: 'starts-on-face',
        severity: 'note',
        title: `${nBareOnFace} beads of the outer shell begin on the face, where a start shows`,
        place: {
          fromMm,
          toMm,
          point: [starts[row + START_ROW.x], starts[row + START_ROW.y], starts[row + START_ROW.z]],
          areaMm2: 0,
          fromLayer: layerAt(results, fromMm),
          toLayer: layerAt(results, toMm),
        },
        evidence: [
          { label: 'bare starts on the face', value: nBareOnFace, unit: '', limit: TOLD_STARTS },
          { label: 'starts on the whole figure', value: nStarts, unit: '' },
          { label: 'bare at the best place of that layer', value: 100 * leastBare[layer], unit: '%' },
        ],
        certainty: {
          share: 0.6,
          cause:
            'the machine may put its starts elsewhere; how large the mark is depends on the pressure in the nozzle',
        },
        why:
          `A start is hidden in a fold of the outline and bare on a wall or an edge. In the layer at ${mm(layers.cutZ[layer], 1)} it would show least ${better}. ` +
          'Where the program that makes the print file lets you choose, put starts at the back or into folds.',
        remedies: [],
      },
    ]
  },
}

export const curls: Rule = {
  id: 'curls',
  about: 'A base whose rim rises by more than half a first layer once it is off the bed.',
  look: (results) => {
    const { surface, layers, settings } = results
    if (!surface) return []
    const { rimRiseMm, blockHeightMm, blockLengthMm, stressedDepthMm, worstHeightMm, shrinkShare } = surface.shrink
    const limit = settings.firstLayerHeightMm / 2
    if (!(rimRiseMm > limit)) return []
    const to = layerAt(results, Math.min(blockHeightMm, layers.faceZ[layers.nLayers]) - 1e-6)
    return [
      {
        id: 'curls',
        rule: 'curls',
        severity: rimRiseMm > settings.firstLayerHeightMm ? 'marks' : 'note',
        title: `The rim of the base curls up by about ${mm(rimRiseMm)} once it is off the bed`,
        place: {
          fromMm: 0,
          toMm: blockHeightMm,
          point: [blockLengthMm / 2, 0, 0],
          areaMm2: 0,
          fromLayer: 0,
          toLayer: to,
        },
        evidence: [
          { label: 'rise of the rim', value: rimRiseMm, unit: 'mm', limit },
          { label: 'height of the base', value: blockHeightMm, unit: 'mm' },
          { label: 'length of the base', value: blockLengthMm, unit: 'mm' },
          { label: 'shrinkage', value: 100 * shrinkShare, unit: '%' },
        ],
        certainty: {
          share: 0.4,
          cause: `the depth in which stress stays is taken as ${stressedDepthMm} mm, not measured`,
        },
        why:
          `Held flat by the bed, the base keeps stress in its uppermost ${stressedDepthMm} mm and bends when it comes off: curvature 6 eps d (H - d) / H3, greatest at ${mm(worstHeightMm, 1)}. ` +
          'What stands on the base stiffens it. A thicker or thinner base, or leaving it on the bed until it is cold, curls less.',
        remedies: [],
      },
    ]
  },
}
