// How wide a track is drawn.

/** Space between two tracks, px. */
const GAP_PX = 10

/** Width of one track so that all fit, px, within what can be read; beyond that the log scrolls sideways. */
export const trackWidth = (logPx: number, nTracks: number): number =>
  Math.max(52, Math.min(340, Math.floor((logPx - 8 - (nTracks - 1) * GAP_PX) / Math.max(1, nTracks))))
