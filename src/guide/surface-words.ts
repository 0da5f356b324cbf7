// How it will look, as rows of name and words: steps, undersides, shape, bead starts.

import type { Examination } from '../engine/examine/index.ts'
import { durationWords, numberWords } from './words.ts'

type Look = NonNullable<Examination['surface']>

const um = (value: number): string => `${Math.round(value)} µm`
const percent = (share: number): string => `${Math.round(100 * share)} %`

const stepWords = ({ steps }: Look): string => {
  const [now, ...others] = steps.choices
  const told = now.regions
    .filter(({ region }) => region === 'face' || region === 'cloak and all else')
    .map(({ region, meanUm, shownShare }) => `${region} ${um(meanUm)}, shown on ${percent(shownShare)}`)
  const thin = others.find(({ layerHeightMm }) => layerHeightMm < 0.75 * now.layerHeightMm)
  const face = thin?.regions.find(({ region }) => region === 'face') ?? thin?.regions.find((r) => r.meanUm > 0)
  const buys =
    thin && face
      ? `; layers of ${numberWords(thin.layerHeightMm)} mm: ${um(face.meanUm)}${Number.isFinite(thin.minutes) ? ` for ${durationWords(60 * (thin.minutes - now.minutes))} more` : ''}`
      : ''
  return `${told.join('; ')}${buys}`
}

const underWords = ({ hanging, props }: Look): string => {
  const sag = hanging.layerSagMm.reduce((a, b) => Math.max(a, b), 0)
  const need =
    props.nProps === 0
      ? 'no props needed'
      : `about ${props.nProps} props at ${props.places.length} places, touching ${numberWords(props.contactMm2)} mm²`
  return `beads over air sag up to ${numberWords(sag)} mm; ${need}`
}

const shapeWords = ({ lost, shrink }: Look): string =>
  `upright edges rounded by up to ${numberWords(lost.edgeMm)} mm; ${numberWords(lost.vanishedMm3)} mm³ of detail too thin for a bead; ` +
  `shrinks by ${numberWords(shrink.heightMm)} mm in height, the base's rim rises ${numberWords(shrink.rimRiseMm)} mm off the bed`

const startWords = ({ starts }: Look): string =>
  `${starts.nBare} of ${starts.nStarts} bead starts lie bare, ${starts.nBareInFront} in front, ${starts.nBareOnFace} on the face`

/** All of it in one row, for paper; none where the surface was not looked at. */
export const surfaceLine = ({ surface }: Examination): readonly (readonly [string, string])[] => {
  if (!surface) return []
  const { steps, hanging, props, starts } = surface
  const face = steps.choices[0].regions.find(({ region }) => region === 'face')
  const sag = hanging.layerSagMm.reduce((a, b) => Math.max(a, b), 0)
  const words = [
    ...(face ? [`steps on the face ${um(face.meanUm)}, shown on ${percent(face.shownShare)}`] : []),
    `sag up to ${numberWords(sag)} mm`,
    props.nProps === 0 ? 'no props' : `about ${props.nProps} props`,
    `${starts.nBareInFront} bare bead starts in front`,
  ]
  return [['looks', words.join('; ')]]
}

/** Rows for the report; none where the surface was not looked at. */
export const surfaceRows = ({ surface }: Examination): readonly (readonly [string, string])[] =>
  surface
    ? [
        ['steps', stepWords(surface)],
        ['undersides', underWords(surface)],
        ['shape', shapeWords(surface)],
        ['bead starts', startWords(surface)],
        ...surface.leftOut.map((words): [string, string] => ['left out', words]),
      ]
    : []
