// Chooses which tracks stand in the log, and in which order.

import { Page } from '../sheet/page.tsx'
import { sheet } from '../state.ts'
import { room, standing, trackChoice } from './standing.ts'
import { moved } from './track-choice.ts'

/** The list of all tracks; what is chosen is remembered. */
export const TrackChooser = () => {
  const tracks = sheet.value.tracks ?? []
  const ids = standing.value.map(({ id }) => id)
  const isFull = ids.length >= room.value
  const rest = tracks.filter(({ id }) => !ids.includes(id))
  return (
    <Page title="Tracks of the height log">
      <p class="faint">
        {ids.length} of {tracks.length} stand in the log
        {isFull ? '; no more fit at this width: take one out first' : ''}.
      </p>
      <ul class="track-list">
        {[...standing.value, ...rest].map(({ id, question, quantity, unit }) => {
          const at = ids.indexOf(id)
          const words = `${question}: ${unit ? `${quantity}, ${unit}` : quantity}`
          return (
            <li key={id}>
              <label class="check">
                <input
                  type="checkbox"
                  checked={at >= 0}
                  disabled={at >= 0 ? ids.length === 1 : isFull}
                  onChange={({ currentTarget }) => {
                    trackChoice.value = currentTarget.checked ? [...ids, id] : ids.filter((other) => other !== id)
                  }}
                />
                <span>
                  <strong>{question}</strong> <span class="faint">{unit ? `${quantity}, ${unit}` : quantity}</span>
                </span>
              </label>
              {at >= 0 && (
                <span class="track-moves">
                  <button
                    type="button"
                    disabled={at === 0}
                    aria-label={`Move left: ${words}`}
                    onClick={() => {
                      trackChoice.value = moved(ids, id, -1)
                    }}
                  >
                    left
                  </button>
                  <button
                    type="button"
                    disabled={at === ids.length - 1}
                    aria-label={`Move right: ${words}`}
                    onClick={() => {
                      trackChoice.value = moved(ids, id, 1)
                    }}
                  >
                    right
                  </button>
                </span>
              )}
            </li>
          )
        })}
      </ul>
      <p class="page-foot">
        <button
          type="button"
          class="strong"
          disabled={trackChoice.value === null}
          onClick={() => {
            trackChoice.value = null
          }}
        >
          As many as fit, the most telling
        </button>
      </p>
    </Page>
  )
}
