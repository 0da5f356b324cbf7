// Smoothing of a grid over the reach to which plastic yields under the nozzle.

/** Weights over two cells to either side: a reach of one bead width. */
const KERNEL = [1, 2, 3, 2, 1].map((w) => w / 9)

/** Smooths rows, then columns; `out` and `scratch` have the size of the field. */
export const smooth = (from: Float32Array, nx: number, ny: number, scratch: Float32Array, out: Float32Array): void => {
  const [a, b, c] = KERNEL
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const k = j * nx + i
      scratch[k] =
        i >= 2 && i < nx - 2 ? a * (from[k - 2] + from[k + 2]) + b * (from[k - 1] + from[k + 1]) + c * from[k] : 0
    }
  }
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const k = j * nx + i
      out[k] =
        j >= 2 && j < ny - 2
          ? a * (scratch[k - 2 * nx] + scratch[k + 2 * nx]) + b * (scratch[k - nx] + scratch[k + nx]) + c * scratch[k]
          : 0
    }
  }
}
