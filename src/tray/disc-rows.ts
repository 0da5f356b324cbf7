// Rows of equal discs in a rectangle, in closed form: straight, staggered, and stretched so that the next row sinks in between.

/** Middles of the discs, xy each, from the corner of the rectangle. */
export interface DiscRows {
  readonly centres: readonly (readonly [number, number])[]
  readonly layout: string
}

const EPS = 1e-9

interface Family {
  readonly n: readonly [number, number]
  readonly pitch: number
  readonly shift: number
  readonly layout: string
}

/** All row patterns worth a trial for discs of this diameter across a width. */
const families = (d: number, width: number): Family[] => {
  const across = width - d
  const most = Math.floor((across + EPS) / d) + 1
  const list: Family[] = [{ n: [most, most], pitch: d, shift: 0, layout: 'straight' }]
  for (let n = most; n >= 1; n--) {
    // Every other row one fewer, the full width used; or as many, shifted by half a pitch. One a row goes from side to side.
    if (n === 1) list.push({ n: [1, 1], pitch: d, shift: across, layout: 'staggered' })
    if (n > 1 && across / (n - 1) >= d - EPS)
      list.push({ n: [n, n - 1], pitch: across / (n - 1), shift: across / (n - 1) / 2, layout: 'staggered' })
    if (across / (n - 0.5) >= d - EPS)
      list.push({ n: [n, n], pitch: across / (n - 0.5), shift: across / (n - 0.5) / 2, layout: 'staggered' })
  }
  return list
}

const along = (d: number, width: number, depth: number): DiscRows => {
  let best: DiscRows = { centres: [], layout: 'it does not fit the bed' }
  if (d > width + EPS || d > depth + EPS) return best
  for (const { n, pitch, shift, layout } of families(d, width)) {
    // Neighbours in the next row lie by the shift or by the rest of the pitch away; rows two apart lie straight above each other.
    const near = n[0] === 1 ? shift : Math.min(shift, pitch - shift)
    const up = shift === 0 ? d : Math.max(Math.sqrt(Math.max(0, d * d - near * near)), d / 2)
    const nRows = Math.floor((depth - d + EPS) / up) + 1
    const count = Math.ceil(nRows / 2) * n[0] + Math.floor(nRows / 2) * n[1]
    if (count <= best.centres.length) continue
    const centres: [number, number][] = []
    for (let row = 0; row < nRows; row++)
      for (let k = 0; k < n[row % 2]; k++) centres.push([d / 2 + (row % 2) * shift + k * pitch, d / 2 + row * up])
    best = { centres, layout: `${nRows} ${layout} rows` }
  }
  return best
}

/** As many discs as rows along either side give. */
export const discRows = (diameterMm: number, width: number, depth: number): DiscRows => {
  const a = along(diameterMm, width, depth)
  const b = along(diameterMm, depth, width)
  if (b.centres.length <= a.centres.length) return a
  return { centres: b.centres.map(([x, y]) => [y, x] as const), layout: `${b.layout} from front to back` }
}
