// Places flags beside the figure near their heights without letting them cover one another.

/**
 * Moves places apart until each stands at least `apart` from the next, as near as can be to where they were wanted.
 * @param wanted places down the sheet, px, in any order
 * @returns the places in the same order; all within [from, to] while there is room
 */
export const spreadFlags = (wanted: readonly number[], apart: number, from: number, to: number): readonly number[] => {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b] || a - b)
  // Groups of touching flags stand centred about the mean of their wanted places.
  const groups: { sum: number; members: number[] }[] = []
  const startOf = ({ sum, members }: { sum: number; members: number[] }) => {
    const length = (members.length - 1) * apart
    return Math.max(from, Math.min(to - length, sum / members.length - length / 2))
  }
  for (const i of order) {
    groups.push({ sum: wanted[i], members: [i] })
    while (groups.length > 1) {
      const last = groups[groups.length - 1]
      const before = groups[groups.length - 2]
      if (startOf(before) + before.members.length * apart <= startOf(last)) break
      before.sum += last.sum
      before.members.push(...last.members)
      groups.pop()
    }
  }
  const places = new Array<number>(wanted.length)
  for (const group of groups) {
    const start = startOf(group)
    group.members.forEach((i, k) => {
      places[i] = start + k * apart
    })
  }
  return places
}
