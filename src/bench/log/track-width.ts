// How wide a track is drawn, and how many of them stand side by side.

/** Space between two tracks, the least width of one, the width at which its caption reads well, the width where the log slides, the most; px. */
const GAP = 8
const LEAST = 50
const EASY = 60
const SLIDING = 86
const MOST = 340
/** Below this width of the log all tracks slide under the finger. */
const NARROW = 300

/** True where the log slides sideways: on a telephone held upright. */
export const slidesAt = (logPx: number, scale = 1): boolean => logPx < NARROW * scale

/** How many tracks stand side by side and read well. */
export const easyTracks = (logPx: number, scale = 1): number =>
  slidesAt(logPx, scale) ? 99 : Math.floor((logPx / scale - 8 + GAP) / (EASY + GAP))

/** How many tracks stand side by side at all. */
export const mostTracks = (logPx: number, scale = 1): number =>
  slidesAt(logPx, scale) ? 99 : Math.floor((logPx / scale - 8 + GAP) / (LEAST + GAP))

/** Width of one track, px, so that all fit; where they cannot, the log slides sideways and each is wide enough to read. */
export const trackWidth = (logPx: number, nTracks: number, scale = 1): number => {
  const fit = Math.floor((logPx - (8 + (nTracks - 1) * GAP) * scale) / Math.max(1, nTracks))
  return fit < LEAST * scale && slidesAt(logPx, scale) ? SLIDING * scale : Math.min(MOST * scale, fit)
}
