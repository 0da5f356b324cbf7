// Tracks of a print file, from its own beads and times; with a plan of the same figure, the plan's line beside each.

import type { CodeExamination, Examination, ExamineSettings, Track } from '../../engine/examine/index.ts'
import { layerAtHeight } from '../../engine/kernel/index.ts'

/** A round number at or above the value, for the end of an axis. */
const roundUp = (value: number): number => {
  if (!(value > 0)) return 1
  const power = 10 ** Math.floor(Math.log10(value))
  return ([1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((step) => step * power >= value - 1e-9) ?? 10) * power
}

/** Value below which a share of the layers lie. */
const below = (values: ArrayLike<number>, share = 0.9): number => {
  const sorted = Float64Array.from(Array.from(values).filter(Number.isFinite)).sort()
  return sorted.length ? sorted[Math.floor(share * (sorted.length - 1))] : 0
}

/** The plan's values at the heights of the file's layers. */
const planned = (values: ArrayLike<number>, planFaceZ: Float64Array, faceZ: Float64Array): Track['other'] => ({
  label: 'in the plan',
  values: Float64Array.from({ length: faceZ.length - 1 }, (_, k) => {
    const middle = (faceZ[k] + faceZ[k + 1]) / 2
    return middle < planFaceZ[planFaceZ.length - 1] ? values[layerAtHeight(planFaceZ, middle)] : Number.NaN
  }),
})

/** @param of the examination of the figure that the file prints, or null */
export const codeTracks = (
  code: CodeExamination,
  { recipe, filament }: ExamineSettings,
  faceZ: Float64Array,
  of: Examination | null,
): readonly Track[] => {
  const { layers: facts, balance, strings, gear, melt } = code
  const beside = (id: string, values?: ArrayLike<number>): Pick<Track, 'other'> => {
    const known = values ?? of?.tracks.find((track) => track.id === id)?.values
    return of && known ? { other: planned(known, of.layers.faceZ, faceZ) } : {}
  }
  const rate = Float64Array.from(melt.layerMost)
  const limit = Math.min(melt.cardMm3PerS, melt.conductionMm3PerS)
  const tracks: Track[] = [
    {
      id: 'laid',
      question: 'how much plastic',
      quantity: 'laid',
      unit: 'mm³',
      values: facts.volumeMm3,
      ...beside('laid', of?.print?.balance.laidMm3),
      from: 0,
      to: roundUp(1.15 * below(facts.volumeMm3, 0.85)),
      drawn: 'line',
      decimals: 2,
      why: 'Filament pushed in each layer times its section, priming loops left out.',
    },
    {
      id: 'shells-laid',
      question: 'how many shells',
      quantity: 'round an outline',
      unit: '',
      values: facts.shells,
      limit: { label: 'asked for', value: recipe.nShells, bad: 'below' },
      from: 0,
      to: Math.max(recipe.nShells + 1, Math.ceil(below(facts.shells, 1))),
      drawn: 'line',
      decimals: 1,
      why: 'Closed beads round each outline, mean over the outlines of the layer; which bead is a shell is told from its place.',
    },
    {
      id: 'width-laid',
      question: 'how wide a bead',
      quantity: 'of the shells',
      unit: 'mm',
      values: facts.widthMm,
      from: 0,
      to: roundUp(1.3 * below(facts.widthMm)),
      drawn: 'line',
      decimals: 2,
      why: 'Width that the volume of a bead has on its length and layer height, mean of the shells by length.',
    },
    {
      id: 'layer-time',
      question: 'how long a layer',
      quantity: 'time',
      unit: 's',
      values: facts.realS,
      ...beside('layer-time'),
      limit: { label: 'least', value: recipe.leastLayerTimeS, bad: 'below' },
      from: 0,
      to: roundUp(Math.max(1.1 * below(facts.realS, 0.85), 1.5 * recipe.leastLayerTimeS)),
      drawn: 'line',
      decimals: 1,
      why: 'Real time of each layer with the accelerations and corner speeds that the file sets, or the recipe where it sets none.',
    },
    {
      id: 'retractions',
      question: 'how often drawn back',
      quantity: 'retractions',
      unit: '',
      values: facts.retractions,
      from: 0,
      to: roundUp(Math.max(4, below(facts.retractions, 0.98))),
      drawn: 'steps',
      decimals: 0,
      why: 'Moves that draw the filament back, counted in each layer.',
    },
    {
      id: 'gear-passes',
      question: 'how often chewed',
      quantity: 'gear passes',
      unit: '',
      values: Float64Array.from(gear.layerMost),
      ...beside('gear-passes'),
      limit: { label: 'most allowed', value: filament.mostGearPasses, bad: 'above' },
      from: 0,
      to: roundUp(1.15 * Math.max(below(gear.layerMost, 1), filament.mostGearPasses)),
      drawn: 'steps',
      decimals: 0,
      why: 'How often the same piece of filament passes the feed gear, back and forth.',
    },
    {
      id: 'melt-rate',
      question: 'how fast it melts',
      quantity: 'most of a bead',
      unit: 'mm³/s',
      values: rate,
      ...(Number.isFinite(limit) ? { limit: { label: 'limit', value: limit, bad: 'above' as const } } : {}),
      from: 0,
      to: roundUp(1.2 * Math.max(below(rate, 1), Number.isFinite(limit) ? limit : 0)),
      drawn: 'line',
      decimals: 1,
      why: 'Volume of a bead over its time, the greatest of each layer, against what the nozzle melts.',
    },
  ]
  if (balance)
    tracks.push({
      id: 'surplus',
      question: 'where it spills',
      quantity: 'surplus',
      unit: '%',
      values: Float64Array.from(balance.laidMm3, (laid, k) => (laid > 0 ? (100 * balance.overflowMm3[k]) / laid : 0)),
      ...beside('surplus'),
      limit: { label: 'shows', value: 1, bad: 'above' },
      from: 0,
      to: 10,
      drawn: 'line',
      decimals: 1,
      why: 'Plastic laid for which the layer has no room, as a share of what is laid, place by place.',
    })
  if (strings)
    tracks.push({
      id: 'crossings',
      question: 'how often over air',
      quantity: 'travels',
      unit: '',
      values: Float64Array.from(strings.layerCrossings),
      ...beside('crossings'),
      from: 0,
      to: roundUp(Math.max(4, below(strings.layerCrossings, 0.98))),
      drawn: 'steps',
      decimals: 0,
      why: 'Travels of the nozzle over open air in each layer.',
    })
  return tracks
}
