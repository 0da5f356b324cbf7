// Limbs that hold one closed shell at most: shafts, wrists, ankles.

import { beadsAcross } from '../../thickness/index.ts'
import { followSightings } from '../follow.ts'
import { islandExtent, islandNear, layerOfIslands } from '../islands.ts'
import { narrowerBeads, printLarger, thicken } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, present, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

/** Length over thickness from which a limb of one shell counts as easily snapped. Ours, from memory of workshop talk. */
const SLENDER = 8

/** Thickness that holds two closed shells with room to spare. */
const wantedFor = (results: RoomResults): number => {
  const { beadWidthMm, layerHeightMm } = results.settings
  return beadWidthMm + 3 * (beadWidthMm - layerHeightMm * (1 - Math.PI / 4))
}

const look = (results: RoomResults): Finding[] => {
  const { layers, shellFit, settings } = results
  const layerOf = layerOfIslands(results)
  const thin: number[] = []
  for (let i = 0; i < layers.islandLoop.length; i++) {
    // One shell at the widest: the whole island is a limb. Thinner than a bead: it vanishes, which is another rule's matter.
    if (shellFit.atWidest[i] > 1 || results.outlineThickness.islandWidest[i] < settings.beadWidthMm) continue
    thin.push(i)
  }
  const extents = thin.map((i) => islandExtent(results, i))
  const groups = followSightings(
    thin.map((i, u) => ({ layer: layerOf[i], x: extents[u].x, y: extents[u].y, reach: extents[u].half + 0.2 })),
    2,
  )
  const found: Finding[] = []
  for (const group of groups) {
    const islands = group.map((u) => thin[u])
    const fromLayer = layerOf[islands[0]]
    const toLayer = layerOf[islands[islands.length - 1]]
    const fromMm = layers.faceZ[fromLayer]
    const toMm = layers.faceZ[toLayer + 1]
    const height = toMm - fromMm
    if (height < 1) continue
    const ends = [extents[group[0]], extents[group[group.length - 1]]]
    const length = Math.hypot(height, ends[1].x - ends[0].x, ends[1].y - ends[0].y)
    // The widest circle in a limb's section is its thickness; what is thinner beside it are cusps where it grows out of a larger piece.
    const widest = islands.map((i) => results.outlineThickness.islandWidest[i]).sort((a, b) => a - b)
    const thickness = widest[Math.floor(widest.length / 2)]
    const thin10 = widest[Math.floor(widest.length / 10)]
    const pitch = shellFit.pitch[toLayer]
    const shells = beadsAcross(thickness, settings.beadWidthMm, pitch) >> 1
    const sideBySide = beadsAcross(thickness, settings.beadWidthMm, settings.beadWidthMm) >> 1
    const middleGroup = group[Math.floor(group.length / 2)]
    const middle = thin[middleGroup]
    const slender = length / thickness
    const { x, y } = extents[middleGroup]
    const core = Math.max(0, thickness - 2 * shells * settings.beadWidthMm)
    const breaks = shells === 0 || slender >= SLENDER
    found.push({
      id: findingId('thin-limb', fromMm, x, y),
      rule: 'thin-limb',
      severity: breaks ? 'breaks' : 'note',
      title:
        `A limb ${mm(thickness, 1)} thick ` +
        (shells === 0 ? 'has no room for a closed shell' : `holds one shell and a core of ${mm(core, 1)}`) +
        `, ${mm(fromMm, 1)} to ${mm(toMm, 1)}, ${whereInWords(results, x, y)}`,
      place: {
        fromMm,
        toMm,
        point: [x, y, (fromMm + toMm) / 2],
        areaMm2: layers.islandArea[middle],
        fromLayer,
        toLayer,
      },
      evidence: [
        { label: 'thickness', value: thickness, unit: 'mm', limit: wantedFor(results) },
        { label: 'thinnest tenth', value: thin10, unit: 'mm' },
        { label: 'shells that fit', value: shells, unit: '', limit: settings.nShells },
        ...(sideBySide === shells ? [] : [{ label: 'counted side by side', value: sideBySide, unit: '' }]),
        { label: 'core left in the middle', value: core, unit: 'mm' },
        { label: 'length over thickness', value: slender, unit: '', limit: SLENDER },
      ],
      certainty: breaks
        ? { share: 0.6, cause: 'a rule of thumb; the force that breaks it is computed apart' }
        : { share: 0.9, cause: 'counting beads across a measured thickness' },
      why:
        `Beads of ${mm(settings.beadWidthMm)} lie ${mm(pitch, 3)} apart (width less height times 1 - pi/4, stadium section). ` +
        `Across ${mm(thickness)} there is room for ${shells === 0 ? 'less than two beads' : 'two or three beads: one closed shell'}; ` +
        'infill and more shells cannot strengthen what has no room for them. Common practice, no source.',
      remedies: present([
        thicken(results, thickness, wantedFor(results)),
        printLarger(results, thickness, wantedFor(results)),
        narrowerBeads(results, thickness / 3),
      ]),
    })
  }
  return found.sort((a, b) => a.evidence[0].value - b.evidence[0].value).slice(0, MOST_OF_A_RULE)
}

export const thinLimb: Rule = {
  id: 'thin-limb',
  about: 'A limb, at least 1 mm high, whose widest circle holds no more than one closed shell.',
  look,
  measure: (results, spot) => {
    const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
    const shells: number[] = []
    for (let k = from; k <= to; k++) {
      const island = islandNear(results, k, spot.x, spot.y, spot.radiusMm)
      if (island >= 0) shells.push(results.shellFit.atWidest[island])
    }
    shells.sort((a, b) => a - b)
    return { label: 'shells that fit', value: shells[Math.floor(shells.length / 2)] ?? 0, unit: '' }
  },
}
