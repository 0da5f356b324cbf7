// Pieces of a mesh that are joined through shared edges.

/** Shell of each triangle, numbered by first triangle. */
export const labelShells = (neighbours: Int32Array): { shellOf: Uint32Array; nShells: number } => {
  const n = neighbours.length / 3
  const shellOf = new Uint32Array(n).fill(0xffffffff)
  const queue = new Uint32Array(n)
  let nShells = 0
  for (let seed = 0; seed < n; seed++) {
    if (shellOf[seed] !== 0xffffffff) continue
    let head = 0
    let tail = 0
    queue[tail++] = seed
    shellOf[seed] = nShells
    while (head < tail) {
      const h = 3 * queue[head++]
      for (let e = 0; e < 3; e++) {
        const g = neighbours[h + e]
        if (g < 0) continue
        const u = (g / 3) | 0
        if (shellOf[u] !== 0xffffffff) continue
        shellOf[u] = nShells
        queue[tail++] = u
      }
    }
    nShells++
  }
  return { shellOf, nShells }
}

/** Triangles grouped by shell: shell s owns order[start[s]] to order[start[s+1]-1]. */
export const groupByShell = (shellOf: Uint32Array, nShells: number): { start: Uint32Array; order: Uint32Array } => {
  const start = new Uint32Array(nShells + 1)
  for (let t = 0; t < shellOf.length; t++) start[shellOf[t] + 1]++
  for (let s = 0; s < nShells; s++) start[s + 1] += start[s]
  const at = start.slice()
  const order = new Uint32Array(shellOf.length)
  for (let t = 0; t < shellOf.length; t++) order[at[shellOf[t]]++] = t
  return { start, order }
}
