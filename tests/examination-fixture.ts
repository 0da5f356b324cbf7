// A standing figure with known outlines for tests: stacked circles whose areas and widths follow from their radii.

/** Radius of the body at a height, mm: base, legs, coat, neck, head. */
export const bodyRadius = (z: number): number => {
  if (z < 3) return 12.5
  if (z < 14) return 3.2 + 0.25 * Math.sin(z)
  if (z < 22) return 4.6 + 0.9 * Math.cos((z - 18) / 2.2)
  if (z < 24) return 1.3
  if (z < 30) return Math.max(0.4, Math.sqrt(Math.max(0, 9 - (z - 27) ** 2)))
  return 0.6
}

/** Radius of the shaft that stands beside the body, mm. */
export const SHAFT_RADIUS = 0.6

/** Stack of the figure's outlines at 0.1 mm layers: one circle of the body and one of the shaft above the base. */
export const circleStack = (nLayers = 320, layerMm = 0.1, nPoints = 64) => {
  const faceZ = Float64Array.from({ length: nLayers + 1 }, (_, i) => i * layerMm)
  const layerStart: number[] = [0]
  const loopStart: number[] = [0]
  const points: number[] = []
  const circle = (x: number, y: number, r: number) => {
    for (let k = 0; k < nPoints; k++) {
      const t = (2 * Math.PI * k) / nPoints
      points.push(x + r * Math.cos(t), y + r * Math.sin(t))
    }
    loopStart.push(points.length / 2)
  }
  for (let i = 0; i < nLayers; i++) {
    const z = (i + 0.5) * layerMm
    circle(0, 0, bodyRadius(z))
    if (z > 3) circle(8, 0, SHAFT_RADIUS)
    layerStart.push(loopStart.length - 1)
  }
  return {
    nLayers,
    faceZ,
    layerStart: Uint32Array.from(layerStart),
    loopStart: Uint32Array.from(loopStart),
    points: Float64Array.from(points),
  }
}
