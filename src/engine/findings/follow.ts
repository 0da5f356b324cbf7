// Follows things seen in single layers over neighbouring layers, so that one fault gives one finding.

/** Something seen in one layer. */
export interface Sighting {
  readonly layer: number
  readonly x: number
  readonly y: number
  /** How far from it the next sighting may lie to belong to the same thing, mm. */
  readonly reach: number
}

/**
 * Groups sightings that lie in the same or the next few layers and within reach of each other.
 * @param layersApart greatest number of layers between two sightings of one thing
 * @returns groups of indices, each in rising layer order
 */
export const followSightings = (sightings: readonly Sighting[], layersApart: number): number[][] => {
  const order = sightings.map((_, i) => i).sort((a, b) => sightings[a].layer - sightings[b].layer || a - b)
  const group = new Int32Array(sightings.length).fill(-1)
  const groups: number[][] = []
  const into = (from: number, to: number): void => {
    for (const i of groups[from]) {
      group[i] = to
      groups[to].push(i)
    }
    groups[from] = []
  }
  let first = 0
  for (let u = 0; u < order.length; u++) {
    const i = order[u]
    const a = sightings[i]
    while (sightings[order[first]].layer < a.layer - layersApart) first++
    for (let v = first; v < u; v++) {
      const j = order[v]
      const b = sightings[j]
      if (Math.hypot(a.x - b.x, a.y - b.y) > Math.max(a.reach, b.reach)) continue
      if (group[i] < 0) {
        group[i] = group[j]
        groups[group[j]].push(i)
      } else if (group[i] !== group[j]) {
        into(Math.max(group[i], group[j]), Math.min(group[i], group[j]))
      }
    }
    if (group[i] < 0) {
      group[i] = groups.length
      groups.push([i])
    }
  }
  return groups
    .filter((g) => g.length > 0)
    .map((g) => g.sort((a, b) => sightings[a].layer - sightings[b].layer || a - b))
}
