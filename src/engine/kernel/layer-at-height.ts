// Which layer a height belongs to.

/** Layer of a height, kept within the stack. @param faceZ heights of the layers' faces, rising, one more than there are layers */
export const layerAtHeight = (faceZ: ArrayLike<number>, mm: number): number => {
  let low = 0
  let high = faceZ.length - 2
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (faceZ[middle] <= mm) low = middle
    else high = middle - 1
  }
  return Math.max(0, low)
}
