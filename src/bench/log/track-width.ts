// How wide a track is drawn.

/** Space between two tracks, the least width at which all stand side by side, the width where they do not, the most; px. */
const GAP = 8
const LEAST = 46
const SLIDING = 86
const MOST = 340

/** Width of one track, px, so that all fit; where they cannot, the log slides sideways and each is wide enough to read. */
export const trackWidth = (logPx: number, nTracks: number, scale = 1): number => {
  const fit = Math.floor((logPx - (8 + (nTracks - 1) * GAP) * scale) / Math.max(1, nTracks))
  return fit < LEAST * scale ? SLIDING * scale : Math.min(MOST * scale, fit)
}
