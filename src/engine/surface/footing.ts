// How far a bead is carried by the layer below.

/** Distance by which each layer of a slope is shifted against the one below, mm. @param slope radians from the vertical */
export const layerShiftMm = (layerHeightMm: number, slope: number): number => layerHeightMm * Math.tan(slope)

/**
 * Share of a bead's width that lies on the layer below, 0-1, the edge below taken as straight.
 * @param insideMm distance of the bead's middle line inside that edge, negative outside, mm
 */
export const footingShare = (widthMm: number, insideMm: number): number =>
  Math.min(1, Math.max(0, (widthMm / 2 + insideMm) / widthMm))

/** The same for the outer shell of a slope: its middle line runs half a width inside the outline. */
export const slopeFooting = (widthMm: number, layerHeightMm: number, slope: number): number =>
  footingShare(widthMm, widthMm / 2 - layerShiftMm(layerHeightMm, slope))
