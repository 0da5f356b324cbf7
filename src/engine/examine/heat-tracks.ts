// Tracks of the height log that heat fills: what each layer lands on, whether it comes too soon, how deep it softens again, how it bonds.

import { bondShares, type HeatLook, landingC, type PrintResults } from '../findings/index.ts'
import { roundUp } from './tracks.ts'
import type { Track } from './types.ts'

/** Value below which a share of a track's layers lie, for the end of an axis. */
const shareBelow = (values: Float64Array, share: number): number => {
  const sorted = Float64Array.from(values.filter((v) => Number.isFinite(v))).sort()
  return sorted.length > 0 ? sorted[Math.floor(share * (sorted.length - 1))] : 0
}

/** One track per question that heat raises; two of them need the detailed calculation. */
export const heatTracks = (heat: HeatLook, { filament }: PrintResults): Track[] => {
  const { quick, full } = heat
  const { softeningFromC, softeningToC } = filament
  const landing = landingC(heat)
  const tracks: Track[] = [
    {
      id: 'landing',
      question: 'what it lands on',
      quantity: 'plastic below',
      unit: '°C',
      values: landing,
      other: full ? { label: 'layer as a whole', values: full.layers.belowC } : undefined,
      band: { label: 'softens', from: softeningFromC, to: softeningToC },
      limit: { label: 'soft', value: softeningToC, bad: 'above' },
      from: 20,
      to: Math.max(100, Math.min(200, roundUp(shareBelow(landing, 0.98) * 1.05))),
      drawn: 'line',
      decimals: 0,
      why: full
        ? 'Temperature of the plastic just under the nozzle as each bead lands, mean of the hottest piece of the layer: every bead as cells that arrive at the nozzle temperature; conduction, moving air by the width of the part (Churchill-Bernstein), radiation, bed, and the heat of the nozzle. Energy is kept to a thousandth.'
        : 'Temperature of the plastic just under the nozzle as each layer lands, of its hottest piece, by the layer model: every piece of a layer as one node, laid at its mean time. The detailed calculation differs by a few degrees, and by tens where a layer begins on the piece that the last one ended on.',
    },
    {
      id: 'too-soon',
      question: 'does it come too soon',
      quantity: 'time between its layers',
      unit: 's',
      values: quick.intervalS,
      other: { label: `needed for ${softeningFromC} °C`, values: quick.leastS },
      from: 0,
      to: roundUp(Math.max(6, shareBelow(quick.leastS, 0.95) * 1.6)),
      drawn: 'line',
      decimals: 1,
      why: `Time that passes between two layers of the piece that decides, against the time after which its top is back below ${softeningFromC} °C: layer model, beyond it the closed form of a growing column (moving fin). Empty where the bed alone keeps it warmer.`,
    },
  ]
  const bond = bondShares(heat)
  if (!full || !bond) return tracks
  const depth = full.layers.softDepthPieceMm
  return [
    ...tracks,
    {
      id: 'soft-again',
      question: 'how deep it softens again',
      quantity: 'depth',
      unit: 'mm',
      values: depth,
      other: { label: 'soft already', values: full.layers.standingSoftMm },
      from: 0,
      to: roundUp(Math.max(0.5, Math.min(3, shareBelow(depth, 0.98) * 1.1))),
      drawn: 'line',
      decimals: 2,
      why: `Depth below the fresh bead that its pass brings to ${softeningFromC} °C or finds there, mean of the hottest piece. Depth that was soft already when the nozzle came back is the dotted line.`,
    },
    {
      id: 'bond',
      question: 'how well layers bond',
      quantity: 'of an ordinary bar',
      unit: '%',
      values: bond.map((b) => 100 * b),
      from: 0,
      to: 100,
      drawn: 'line',
      decimals: 0,
      why: 'Healing of the joint with the layer below, (sum of dt / a_T)^(1/4) above the glass transition (Wool and O’Connor 1981), as a share of the same sum for an ordinary upright bar in layers of 0.2 mm, on which a card’s strength across layers is measured.',
    },
  ]
}
