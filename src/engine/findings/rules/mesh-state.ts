// What the mesh itself brings: holes, crowded edges, overlapping shells, a guessed size.

import type { RoomResults } from '../results.ts'
import { findingId, layerAt, mm, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

const wholeFigure = (results: RoomResults): Finding['place'] => ({
  fromMm: 0,
  toMm: results.figure.max[2],
  point: [0, 0, 0],
  areaMm2: 0,
  fromLayer: 0,
  toLayer: results.layers.nLayers - 1,
})

export const tornMesh: Rule = {
  id: 'torn-mesh',
  about: 'Open edges: the mesh is not closed, and outlines had to be bridged.',
  look: (results) => {
    const { health } = results.figure
    if (health.nOpenEdges === 0) return []
    const { seams } = results.layers
    let widest = 0
    for (let s = 3; s < seams.length; s += 4) widest = Math.max(widest, seams[s])
    const holes = health.holes
    let at = 0
    for (let h = 4; h < holes.length; h += 4) if (holes[h + 3] > holes[at + 3]) at = h
    const [x, y, z] = holes.length > 0 ? [holes[at], holes[at + 1], holes[at + 2]] : [0, 0, 0]
    const size = holes.length > 0 ? holes[at + 3] / Math.PI : 0
    const wide = widest > results.settings.beadWidthMm
    const layer = layerAt(results, z)
    return [
      {
        id: findingId('torn-mesh', z, x, y),
        rule: 'torn-mesh',
        severity: wide ? 'marks' : 'note',
        title:
          health.nHoles === 1
            ? `The mesh has a hole at ${mm(z, 1)}, ${whereInWords(results, x, y)}`
            : `The mesh is torn in ${Math.max(health.nHoles, 1)} places, the largest at ${mm(z, 1)}, ${whereInWords(results, x, y)}`,
        place: {
          fromMm: Math.max(0, z - size / 2),
          toMm: z + size / 2,
          point: [x, y, z],
          areaMm2: (size * size * Math.PI) / 4,
          fromLayer: layer,
          toLayer: layer,
        },
        evidence: [
          { label: 'holes', value: health.nHoles, unit: '' },
          { label: 'open edges', value: health.nOpenEdges, unit: '' },
          { label: 'about as wide as', value: size, unit: 'mm' },
          { label: 'widest bridged seam', value: widest, unit: 'mm', limit: results.settings.beadWidthMm },
        ],
        certainty: wide
          ? {
              share: 0.7,
              cause: 'a wide seam was closed with a straight line; the sculptor may have meant another shape',
            }
          : { share: 0.9, cause: 'the seam is narrower than a bead, so its bridge cannot show' },
        why:
          'Edges with a triangle on one side only leave outlines open. They were closed with straight lines, nearest ends first, so that ' +
          'the layers can be read; another program may close them otherwise. Mend the sculpt to be sure.',
        remedies: [],
      },
    ]
  },
}

export const crowdedMesh: Rule = {
  id: 'crowded-edges',
  about: 'Edges shared by more than two triangles.',
  look: (results) => {
    const { health } = results.figure
    if (health.nCrowdedEdges === 0) return []
    return [
      {
        id: 'crowded-edges',
        rule: 'crowded-edges',
        severity: 'note',
        title: `${health.nCrowdedEdges} edges of the mesh belong to more than two triangles`,
        place: wholeFigure(results),
        evidence: [{ label: 'crowded edges', value: health.nCrowdedEdges, unit: '' }],
        certainty: { share: 0.8, cause: 'outlines are paired by direction there, which is right for touching solids' },
        why: 'Where surfaces only touch, inside and outside can be read in more than one way; the outlines used here are those of the union.',
        remedies: [],
      },
    ]
  },
}

export const overlappingShells: Rule = {
  id: 'overlapping-shells',
  about: 'Closed shells that run into each other; outlines are those of their union.',
  look: (results) => {
    const { health } = results.figure
    if (health.nShells - health.nCavities < 2 || results.layers.nResolvedLayers === 0) return []
    return [
      {
        id: 'overlapping-shells',
        rule: 'overlapping-shells',
        severity: 'note',
        title: `The figure is made of ${health.nShells} shells that run into each other`,
        place: wholeFigure(results),
        evidence: [
          { label: 'shells', value: health.nShells, unit: '' },
          { label: 'layers resolved by winding', value: results.layers.nResolvedLayers, unit: '' },
          ...(health.nInsideOutShells > 0
            ? [{ label: 'shells turned outside out', value: health.nInsideOutShells, unit: '' }]
            : []),
        ],
        certainty: { share: 0.95, cause: 'exact for closed shells' },
        why: 'The outlines are those of the region whose winding number is above zero, that is, of the union. Nothing needs to be done.',
        remedies: [],
      },
    ]
  },
}

export const guessedScale: Rule = {
  id: 'guessed-scale',
  about: 'The size was guessed from the numbers in the file.',
  look: (results) => {
    const { scale, max } = results.figure
    if (scale.basis !== 'guessed') return []
    return [
      {
        id: 'guessed-scale',
        rule: 'guessed-scale',
        severity: 'note',
        title: `The size was guessed: ${mm(max[2], 1)} tall`,
        place: wholeFigure(results),
        evidence: [{ label: 'total height', value: max[2], unit: 'mm' }],
        certainty: { share: 0.7, cause: 'the file does not say its unit' },
        why: `${scale.reason} Set the scale height or the unit to be sure: every thickness here follows from it.`,
        remedies: [],
      },
    ]
  },
}

/** Contact below which a tall figure is easily knocked off, as a share of its height: radius of the contact over height. From memory. */
const SMALL_FOOTING = 0.12

export const smallFooting: Rule = {
  id: 'small-footing',
  byOutlines: true,
  about: 'A small contact with the bed under a tall figure.',
  look: (results) => {
    const { figure, relations, layers } = results
    if (layers.faceZ[0] !== 0) return []
    const radius = Math.sqrt(relations.bedContact / Math.PI)
    const height = figure.max[2]
    if (radius >= SMALL_FOOTING * height) return []
    return [
      {
        id: 'small-footing',
        rule: 'small-footing',
        severity: 'breaks',
        title: `Only ${relations.bedContact.toFixed(0)} mm2 stand on the bed under ${mm(height, 0)} of height`,
        place: {
          fromMm: 0,
          toMm: layers.faceZ[1],
          point: [0, 0, 0],
          areaMm2: relations.bedContact,
          fromLayer: 0,
          toLayer: 0,
        },
        evidence: [
          { label: 'contact with the bed', value: relations.bedContact, unit: 'mm2' },
          { label: 'contact radius over height', value: radius / height, unit: '', limit: SMALL_FOOTING },
        ],
        certainty: { share: 0.6, cause: 'how well the bed holds is not known' },
        why: 'The nozzle pushes sideways at the top; a small contact has a short lever against that. The limit is from memory of workshop practice.',
        remedies: [],
      },
    ]
  },
}
