// Lays the parts of a sheet on the page piece by piece, a frame for each, so that no single piece of work holds the page up.

import type { SheetParts } from './messages.ts'

/** Parts that come together and are drawn apart: what each later group draws is worth a frame of its own. */
const APART: readonly (readonly (keyof SheetParts)[])[] = [
  ['printed', 'outlineThickness', 'shellFit', 'vanishing', 'relations'],
  ['tracks'],
  ['findings'],
]

/** Parts in the order in which they are laid. */
export const inPieces = (parts: SheetParts): readonly SheetParts[] => {
  const last = new Set(APART.flat())
  const pieces: SheetParts[] = []
  const pick = (wanted: (key: keyof SheetParts) => boolean): void => {
    const keys = (Object.keys(parts) as (keyof SheetParts)[]).filter(wanted)
    if (keys.length) pieces.push(Object.fromEntries(keys.map((key) => [key, parts[key]])) as SheetParts)
  }
  pick((key) => !last.has(key))
  for (const group of APART) pick((key) => group.includes(key))
  return pieces
}

/** Where frames come late, work goes on after this time all the same, ms. */
const LATE_MS = 60

/** The turn after the next frame; at once in a hidden tab, which draws no frames and whose clock goes slowly. */
const nextFrame = (): Promise<void> =>
  document.hidden
    ? Promise.resolve()
    : new Promise((resolve) => {
        let isDone = false
        const done = () => {
          if (!isDone) setTimeout(resolve, 0)
          isDone = true
        }
        requestAnimationFrame(done)
        setTimeout(done, LATE_MS)
      })

/** Pieces that wait, with one more: a newer one of the same parts takes the place of the older. */
export const afterPiece = (waiting: readonly SheetParts[], piece: SheetParts): readonly SheetParts[] => {
  const keys = Object.keys(piece).join()
  return [...waiting.filter((one) => Object.keys(one).join() !== keys), piece]
}

/** A queue that lays pieces in order. @param lay draws one piece; false ends the queue */
export const partQueue = (lay: (piece: SheetParts) => boolean) => {
  let waiting: readonly SheetParts[] = []
  let laying: Promise<void> | null = null
  let isOver = false
  const layAll = async (): Promise<void> => {
    while (waiting.length && !isOver) {
      const [piece, ...rest] = waiting
      waiting = rest
      isOver = !lay(piece)
      await nextFrame()
    }
    laying = null
  }
  return {
    take: (parts: SheetParts): void => {
      for (const piece of inPieces(parts)) waiting = afterPiece(waiting, piece)
      laying ??= layAll()
    },
    /** Resolves when all that was taken is laid. */
    whole: async (): Promise<void> => {
      await laying
    },
  }
}
