// The standing figure against its rule: lit solid (or its drawing from outlines where there is no WebGL), flags with leaders, scrub line.

import { useSignal } from '@preact/signals'
import { useMemo, useRef } from 'preact/hooks'
import { bedMarks, elevationSvg, flagMarks, legendSvg, ruleMarks, shown } from '../../picture/index.ts'
import { type BoardFrame, drawnFrame, figureWidthPx, frame, placeOf } from '../board-frame.ts'
import { chosen, lookAt, paint, scrubMm, sheet, topMm, turn } from '../state.ts'
import { inches, inInches } from '../units.ts'
import { flagPlaces } from './flag-places.ts'
import { painted, paints } from './paint.ts'
import { Solid } from './solid.tsx'

/** The figure drawn from its outlines: shown where the browser has no WebGL. */
const Drawn = () => {
  const { layers } = sheet.value
  const f = frame.value
  const d = drawnFrame(f)
  const svg = useMemo(
    () =>
      layers
        ? elevationSvg(layers, 'The figure in elevation', {
            ...d,
            widthPx: figureWidthPx(d),
            turn: turn.value,
            rulePx: 0,
          })
        : '',
    [layers, f, turn.value],
  )
  return (
    <div
      class="drawn"
      style={{ left: `${f.rulePx}px`, width: `${figureWidthPx(f)}px` }}
      dangerouslySetInnerHTML={{ __html: svg }}
    />
  )
}

const Ground = ({ f }: { f: BoardFrame }) => {
  const d = drawnFrame(f)
  const marks = useMemo(
    () => ruleMarks(d, d.rulePx - 2) + bedMarks(d.rulePx - 2, d.elevationPx, d.topPx + d.plotPx),
    [f],
  )
  return (
    <svg
      class="ground"
      aria-hidden="true"
      width={f.elevationPx}
      height={f.topPx + f.plotPx + 12 * f.scale}
      viewBox={`0 0 ${d.elevationPx} ${d.topPx + d.plotPx + 12}`}
      dangerouslySetInnerHTML={{ __html: marks }}
    />
  )
}

const Flags = ({ f: laid }: { f: BoardFrame }) => {
  const f = drawnFrame(laid)
  const flags = flagPlaces(sheet.value.findings ?? [], f, turn.value, chosen.value)
  return (
    <svg
      class="flags"
      width={laid.elevationPx}
      height={laid.topPx + laid.plotPx + 12 * laid.scale}
      viewBox={`0 0 ${f.elevationPx} ${f.topPx + f.plotPx + 12}`}
      aria-hidden="true"
    >
      {flags.map(({ finding: { id, severity }, number, atX, wantedY, fromX, x, y }) => {
        const isChosen = chosen.value === id
        return (
          // biome-ignore lint/a11y/noStaticElementInteractions: for the pointer; the list of findings does the same by keyboard
          <g class={isChosen ? 'flag chosen' : 'flag'} key={id} onClick={() => lookAt(id)}>
            <path class="leader" d={`M${atX} ${wantedY}L${fromX} ${wantedY}L${x - f.flagPx / 2 - 2} ${y}`} />
            <circle class="leader-end" cx={atX} cy={wantedY} r={isChosen ? 4 : 2.2} />
            <g dangerouslySetInnerHTML={{ __html: flagMarks(severity, number, x, y, f.flagPx) }} />
          </g>
        )
      })}
    </svg>
  )
}

/** Handle of the scrubbed height at the rule: drag it, or use the arrow keys. */
const ScrubHandle = ({ f, onDrag }: { f: BoardFrame; onDrag: (event: PointerEvent) => void }) => {
  const mm = scrubMm.value
  return (
    <div
      class="scrub-handle"
      role="slider"
      tabIndex={0}
      aria-label="Height that is looked at"
      aria-orientation="vertical"
      aria-valuemin={0}
      aria-valuemax={Math.round(10 * topMm.value) / 10}
      aria-valuenow={Math.round(100 * mm) / 100}
      aria-valuetext={`${shown(mm, 2)} mm above the bed`}
      style={{ top: `${placeOf(f, mm)}px` }}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => {
        if (event.currentTarget.hasPointerCapture(event.pointerId)) onDrag(event)
      }}
    >
      {shown(mm, 1)}
      {inches.value ? <small>{inInches(mm)}</small> : null}
    </div>
  )
}

/** What is laid over the figure, and its legend. */
const PaintChooser = () => {
  const now = painted.value
  const ofSurface = paints.value.filter(({ quantity }) => !('faceZ' in quantity))
  const byLayer = paints.value.filter(({ quantity }) => 'faceZ' in quantity)
  return (
    <>
      <label class="over">
        <span>laid over it:</span>
        <select
          value={now?.id ?? ''}
          disabled={!paints.value.length}
          onChange={(event) => {
            paint.value = event.currentTarget.value
          }}
        >
          <option value="">nothing</option>
          {ofSurface.map(({ id, name, unit }) => (
            <option key={id} value={id}>
              {unit ? `${name}, ${unit}` : name}
            </option>
          ))}
          {byLayer.length > 0 && (
            <optgroup label="layer by layer">
              {byLayer.map(({ id, name, unit }) => (
                <option key={id} value={id}>
                  {unit ? `${name}, ${unit}` : name}
                </option>
              ))}
            </optgroup>
          )}
        </select>
      </label>
      {now && (
        <div
          class="legend"
          dangerouslySetInnerHTML={{ __html: legendSvg(now.name, now.unit, now.from, now.to, now.decimals) }}
        />
      )}
    </>
  )
}

/** Figure, rule, flags and handle. */
export const Elevation = ({ onScrub }: { onScrub: (event: PointerEvent) => void }) => {
  const f = frame.value
  const hasSolid = useSignal(true)
  const drag = useRef<{ x: number; turn: number } | null>(null)
  const degrees = Math.round((turn.value * 180) / Math.PI) % 360
  return (
    <div class="elevation" style={{ width: `${f.elevationPx}px` }}>
      <div
        class="stage"
        onPointerDown={(event) => {
          if (event.target instanceof Element && event.target.closest('.flag, .scrub-handle')) return
          drag.current = { x: event.clientX, turn: turn.value }
          event.currentTarget.setPointerCapture(event.pointerId)
        }}
        onPointerMove={(event) => {
          if (!drag.current) return
          event.stopPropagation()
          const full = 2 * Math.PI
          const next = drag.current.turn + (event.clientX - drag.current.x) / 110
          turn.value = ((next % full) + full) % full
        }}
        onPointerUp={() => {
          drag.current = null
        }}
        onPointerCancel={() => {
          drag.current = null
        }}
        style={{ height: `${f.topPx + f.plotPx + 14}px` }}
      >
        {hasSolid.value && (sheet.value.surface || !sheet.value.layers) ? (
          <Solid
            onFail={() => {
              hasSolid.value = false
            }}
          />
        ) : (
          <Drawn />
        )}
        <Ground f={f} />
        <Flags f={f} />
        <ScrubHandle f={f} onDrag={onScrub} />
      </div>
      <div class="under-figure">
        <div
          class="dial"
          role="slider"
          tabIndex={0}
          aria-label="Turn of the figure"
          aria-valuemin={0}
          aria-valuemax={359}
          aria-valuenow={degrees}
          aria-valuetext={`turned by ${degrees} degrees`}
        >
          <svg width="30" height="14" viewBox="0 0 30 14" aria-hidden="true">
            <ellipse cx="15" cy="7" rx="13" ry="5.5" />
            <circle cx={15 + 13 * Math.sin(turn.value)} cy={7 + 5.5 * Math.cos(turn.value)} r="2.6" />
          </svg>
          <span>turned {degrees}°</span>
        </div>
        <PaintChooser />
      </div>
    </div>
  )
}
