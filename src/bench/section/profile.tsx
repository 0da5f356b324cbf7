// The quantity along the outline, unrolled: a plot to point at or to walk with the arrow keys, and the same numbers as a table.

import type { Signal } from '@preact/signals'
import { useMemo } from 'preact/hooks'
import { PROFILE_INSET, profileSvg, shown } from '../../picture/index.ts'
import type { Paint } from '../elevation/paint.ts'
import { Folded } from '../sheet/folded.tsx'
import { type OutlineProfile, type ProfileSpot, spotAt, valueWords } from './along-outline.ts'

const HEIGHT_PX = 128
/** Rows of the table at most. */
const MOST_ROWS = 60
const ROW_STEPS_MM = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20]
/** The arrow keys walk this share of the way, but no less than a tenth of a millimetre. */
const KEY_SHARE = 1 / 100

/** A place in words, e.g. "12.3 mm along outline 2 of 3: thickness 0.35 mm, below one bead". */
export const spotWords = (spot: ProfileSpot, profile: OutlineProfile, paint: Paint): string => {
  const { limit, name } = paint
  const { atMm, value, outline } = spot
  const n = profile.lines.length
  const isPast = limit && (limit.bad === 'above' ? value > limit.value : value < limit.value)
  return (
    `${shown(atMm, 1)} mm along${n > 1 ? `, outline ${outline} of ${n}` : ''}: ${name} ${valueWords(value, paint)}` +
    (isPast ? `, ${limit.bad} "${limit.label}"` : '')
  )
}

const Table = ({ profile, paint }: { profile: OutlineProfile; paint: Paint }) => {
  const rows = useMemo(() => {
    const step = ROW_STEPS_MM.find((mm) => profile.lengthMm / mm <= MOST_ROWS) ?? profile.lengthMm / MOST_ROWS
    const found: ProfileSpot[] = []
    for (let k = 0; k * step <= profile.lengthMm; k++) {
      const spot = spotAt(profile, k * step)
      if (spot) found.push(spot)
    }
    return found
  }, [profile])
  const value = paint.unit ? `${paint.name}, ${paint.unit}` : paint.name
  return (
    <table class="height-table outline-table">
      <caption>
        {value} along the outline, longest outline first
        {paint.limit ? `; ${paint.limit.label}: ${valueWords(paint.limit.value, paint)}` : ''}
      </caption>
      <thead>
        <tr>
          <th scope="col">along, mm</th>
          <th scope="col">outline</th>
          <th scope="col">{value}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((spot) => (
          <tr key={spot.atMm}>
            <th scope="row">{shown(spot.atMm, 1)}</th>
            <td>{spot.outline}</td>
            <td>{Number.isFinite(spot.value) ? shown(spot.value, paint.decimals) : 'not known'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

interface ProfileProps {
  readonly profile: OutlineProfile
  readonly paint: Paint
  /** Width in the sizes of usual text, px, and how much larger this page's text is. */
  readonly widthPx: number
  readonly scale: number
  /** How far along the place is that is pointed at, mm; null for none. */
  readonly at: Signal<number | null>
}

/** Plot, place that is pointed at, and table. */
export const Profile = ({ profile, paint, widthPx, scale, at }: ProfileProps) => {
  const { lines, lengthMm } = profile
  const { name, unit, from, to, decimals, limit } = paint
  const quantity = unit ? `${name}, ${unit}` : name
  const svg = useMemo(
    () =>
      profileSvg(
        {
          lines,
          lengthMm,
          from,
          to,
          decimals,
          quantity,
          ...(limit ? { limit } : {}),
          label: `${quantity} along the outline`,
        },
        widthPx,
        HEIGHT_PX,
      ),
    [profile, paint, widthPx],
  )
  const { left, right, top, bottom } = PROFILE_INSET
  const plotPx = widthPx - left - right
  const spot = at.value === null ? null : spotAt(profile, at.value)
  const walk = (mm: number) => {
    at.value = Math.min(lengthMm, Math.max(0, mm))
  }
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    const step = Math.max(0.1, lengthMm * KEY_SHARE)
    const now = spot?.atMm ?? 0
    const to: Record<string, number> = {
      ArrowRight: spot ? now + step : 0,
      ArrowLeft: now - step,
      PageUp: now + 10 * step,
      PageDown: now - 10 * step,
      Home: 0,
      End: lengthMm,
    }
    if (!(event.key in to)) return
    event.preventDefault()
    walk(to[event.key])
  }
  const share = spot && lengthMm > 0 ? spot.atMm / lengthMm : 0
  return (
    <div class="profile">
      <div
        class="profile-plot"
        role="slider"
        tabIndex={0}
        aria-label={`Place along the outline, ${name}`}
        aria-valuemin={0}
        aria-valuemax={Math.round(10 * lengthMm) / 10}
        aria-valuenow={Math.round(10 * (spot?.atMm ?? 0)) / 10}
        aria-valuetext={spot ? spotWords(spot, profile, paint) : 'no place is pointed at'}
        onKeyDown={onKeyDown}
        onPointerMove={(event) => {
          const box = event.currentTarget.getBoundingClientRect()
          walk((((event.clientX - box.left) / scale - left) / plotPx) * lengthMm)
        }}
        style={{ width: `${widthPx * scale}px`, height: `${HEIGHT_PX * scale}px` }}
      >
        <div aria-hidden="true" dangerouslySetInnerHTML={{ __html: svg }} />
        {spot && (
          <i
            class="profile-at"
            style={{
              left: `${(left + share * plotPx) * scale}px`,
              top: `${top * scale}px`,
              height: `${(HEIGHT_PX - top - bottom) * scale}px`,
            }}
          />
        )}
      </div>
      <p class="profile-words" aria-hidden="true">
        {spot
          ? spotWords(spot, profile, paint)
          : 'Point at the outline or at the plot, or walk it with the arrow keys.'}
      </p>
      <Folded summary="The outline as a table" label={`${name} along the outline as a table`}>
        <Table profile={profile} paint={paint} />
      </Folded>
    </div>
  )
}
