// Small mesh files for the browser tests, written by hand: a stepped figure with a shaft thinner than a bead, and a broken file.

interface Box {
  readonly from: readonly [number, number, number]
  readonly to: readonly [number, number, number]
}

const facesOf = ({ from: [x0, y0, z0], to: [x1, y1, z1] }: Box): readonly (readonly number[][])[] => {
  const corner = (k: number) => [k & 1 ? x1 : x0, k & 2 ? y1 : y0, k & 4 ? z1 : z0]
  const quads = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ]
  return quads.flatMap(([a, b, c, d]) => [
    [corner(a), corner(b), corner(c)],
    [corner(a), corner(c), corner(d)],
  ])
}

/** Text STL of closed boxes. */
export const boxesStl = (boxes: readonly Box[]): string => {
  const facets = boxes
    .flatMap(facesOf)
    .map(
      (corners) =>
        `facet normal 0 0 0\nouter loop\n${corners.map((c) => `vertex ${c.join(' ')}`).join('\n')}\nendloop\nendfacet`,
    )
  return `solid post\n${facets.join('\n')}\nendsolid post\n`
}

const PLAIN: readonly Box[] = [
  { from: [-3, -3, 0], to: [5, 3, 2] },
  { from: [-2, -1.5, 2], to: [2, 1.5, 16] },
  { from: [-1.5, -1.5, 16], to: [1.5, 1.5, 20] },
]

/** A base, a body, a head. Slender, so that it is examined soon. */
export const PLAIN_FIGURE = boxesStl(PLAIN)

/** The same with a fin of 0.3 mm beside it, which vanishes between beads of 0.4 mm. */
export const FIN_FIGURE = boxesStl([...PLAIN, { from: [4, -1.5, 2], to: [4.3, 1.5, 12] }])

/** A text STL that breaks off in a vertex. */
export const BROKEN_STL = `${boxesStl([{ from: [0, 0, 0], to: [1, 1, 1] }]).split('endloop')[0]}vertex 1 two 3\nendloop\n`
