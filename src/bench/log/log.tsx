// The height log: whatever tracks there are, beside the figure on its height axis, with the values at the scrubbed height.

import { useLayoutEffect, useMemo, useRef } from 'preact/hooks'
import { heightTable, shown, type TrackPicture, trackSvg } from '../../picture/index.ts'
import { type BoardFrame, captionsPx, drawnFrame, frame, placeOf } from '../board-frame.ts'
import { Folded } from '../sheet/folded.tsx'
import { chosen, dialog, hasShown, isPrinting, layer, scrubMm, sheet } from '../state.ts'
import { useDrawnLater } from './draw-later.ts'
import { standing } from './standing.ts'
import { slidesAt, trackWidth } from './track-width.ts'

const shareOf = (track: TrackPicture, value: number): number =>
  Math.min(1, Math.max(0, (value - track.from) / (track.to - track.from)))

const Readout = ({ track, f, widthPx }: { track: TrackPicture; f: BoardFrame; widthPx: number }) => {
  const value = layer.value >= 0 ? track.values[layer.value] : Number.NaN
  if (!Number.isFinite(value)) return null
  const x = 0.5 + shareOf(track, value) * (widthPx - 1)
  const isRight = x > widthPx * 0.6
  return (
    <div class="readout" aria-hidden="true" style={{ top: `${placeOf(f, scrubMm.value)}px` }}>
      <i style={{ left: `${x}px` }} />
      <b style={isRight ? { right: `${widthPx - x + 7}px` } : { left: `${x + 7}px` }}>{shown(value, track.decimals)}</b>
    </div>
  )
}

/** What the lines of a track mean, each beside a piece of the line itself. */
const Legend = ({ track: { limit, other, band, unit } }: { track: TrackPicture }) => (
  <ul class="track-legend">
    {band && (
      <li>
        <svg width="4" height="14" viewBox="0 0 4 14" aria-hidden="true">
          <path class="band-line" d="M2 0V14" />
        </svg>
        {band.label} {band.from}–{band.to} {unit}
      </li>
    )}
    {limit && (
      <li>
        <svg width="4" height="14" viewBox="0 0 4 14" aria-hidden="true">
          <path class="limit-line" d="M2 0V14" />
        </svg>
        {limit.label} {Number(limit.value.toFixed(3))} {unit}
      </li>
    )}
    {other && (
      <li>
        <svg width="4" height="14" viewBox="0 0 4 14" aria-hidden="true">
          <path class="other-line" d="M2 0V14" />
        </svg>
        {other.label}
      </li>
    )}
  </ul>
)

/** Room above the plot within its own picture, px. */
const ABOVE_PLOT_PX = 6

const Track = ({
  track,
  faceZ,
  f,
  widthPx,
}: {
  track: TrackPicture
  faceZ: Float64Array
  f: BoardFrame
  widthPx: number
}) => {
  // Drawn with little room above the plot; the caption's room is added by the page, so that taller captions draw nothing again.
  const { plotPx, fromMm, toMm, scale } = f
  const svg = useDrawnLater(
    () => trackSvg(track, faceZ, { ...drawnFrame(f), topPx: ABOVE_PLOT_PX, widthPx: widthPx / scale }),
    [track, faceZ, plotPx, fromMm, toMm, scale, widthPx],
  )
  const room = { paddingTop: `${f.topPx - ABOVE_PLOT_PX * scale}px`, minHeight: `${f.topPx + plotPx}px` }
  return (
    <div class="track" style={{ width: `${widthPx}px` }}>
      <div class="track-head" style={{ height: `${f.topPx}px` }}>
        <div>
          <h3>{track.question}</h3>
          <p>{track.unit ? `${track.quantity}, ${track.unit}` : track.quantity}</p>
        </div>
      </div>
      <div class="track-plot" style={room} dangerouslySetInnerHTML={{ __html: svg }} />
      <Legend track={track} />
      <Readout track={track} f={f} widthPx={widthPx} />
    </div>
  )
}

/** Tells the board how tall the captions are, whenever one of them changes its size; on paper at once. */
const useCaptions = (ids: string) => {
  const log = useRef<HTMLElement>(null)
  const onPaper = isPrinting.value
  useLayoutEffect(() => {
    const captions = [...(log.current?.querySelectorAll<HTMLElement>('.track-head > div') ?? [])]
    const measure = () => {
      const most = Math.max(0, ...captions.map(({ offsetHeight }) => offsetHeight))
      if (most > 0) captionsPx.value = most
    }
    if (onPaper) measure()
    // Its answers come when the page has been laid out anyway: asking in between would lay it out once more.
    const observer = new ResizeObserver(measure)
    for (const caption of captions) observer.observe(caption)
    return () => observer.disconnect()
  }, [ids, onPaper])
  return log
}

/** The tracks that stand beside the figure. */
export const Log = () => {
  const { tracks, layers, findings } = sheet.value
  const f = frame.value
  const shown = standing.value
  const log = useCaptions(shown.map(({ id }) => id).join())
  const faceZ = layers?.faceZ
  if (!tracks?.length || !faceZ)
    return (
      <div class="log" style={{ minHeight: `${f.topPx + f.plotPx}px` }}>
        <p class="waiting" style={{ top: `${f.topPx + 12}px` }}>
          {hasShown.value ? 'The log comes when the sections are cut.' : ''}
        </p>
      </div>
    )
  const widthPx = trackWidth(f.logPx, shown.length, f.scale)
  const slides = slidesAt(f.logPx, f.scale) && widthPx * shown.length > f.logPx
  const marked = findings?.find(({ id }) => id === chosen.value)
  return (
    <section
      ref={log}
      class={slides ? 'log slides' : 'log'}
      aria-labelledby="log-title"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the keys of the board are heard here, and it may scroll sideways
      tabIndex={0}
    >
      <h2 id="log-title" class="unseen">
        Height log
      </h2>
      <div class="tracks">
        {shown.map((track) => (
          <Track key={track.id} track={track} faceZ={faceZ} f={f} widthPx={widthPx} />
        ))}
        {marked && (
          <div
            class="band"
            aria-hidden="true"
            style={{
              top: `${placeOf(f, marked.place.toMm) - 1}px`,
              height: `${Math.max(2, placeOf(f, marked.place.fromMm) - placeOf(f, marked.place.toMm) + 2)}px`,
            }}
          />
        )}
      </div>
      <p class="under-log">
        <span>
          {slides
            ? `${shown.length} tracks: slide sideways for the rest`
            : shown.length < tracks.length
              ? `${shown.length} of ${tracks.length} tracks stand here`
              : `all ${tracks.length} tracks stand here`}
        </span>
        <button
          type="button"
          class="quiet"
          onClick={() => {
            dialog.value = 'tracks'
          }}
        >
          choose tracks
        </button>
      </p>
    </section>
  )
}

/** The table behind the tracks. */
const LogTable = () => {
  const { tracks, layers } = sheet.value
  const table = useMemo(() => (tracks?.length && layers ? heightTable(tracks, layers.faceZ, 1) : ''), [tracks, layers])
  return <div dangerouslySetInnerHTML={{ __html: table }} />
}

/** How each track is worked out, and its numbers as a table. */
export const LogNotes = () => {
  const { tracks } = sheet.value
  if (!tracks?.length) return null
  return (
    <div class="log-notes">
      <details>
        <summary>How each track is worked out</summary>
        <dl>
          {tracks.map(({ id, question, why }) => (
            <div key={id}>
              <dt>{question}</dt>
              <dd>{why}</dd>
            </div>
          ))}
        </dl>
      </details>
      <Folded summary="The log as a table" label="Height log as a table">
        <LogTable />
      </Folded>
    </div>
  )
}
