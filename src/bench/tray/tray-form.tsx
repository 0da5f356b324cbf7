// What goes on the tray: copies of each figure at hand, gap, spool, prices, a class.

import type { Signal } from '@preact/signals'
import type { Source } from '../state.ts'

/** What the form holds, as typed. */
export interface TrayEntries {
  readonly copies: Readonly<Record<string, string>>
  readonly gap: string
  readonly onSpool: string
  readonly hazard: string
  readonly price: string
  readonly tariff: string
  readonly evening: string
  readonly printers: string
  readonly isClass: boolean
  readonly pupils: string
  readonly lessons: string
  readonly minutes: string
}

export const FIRST_ENTRIES: TrayEntries = {
  copies: {},
  gap: '5',
  onSpool: '',
  hazard: '0.01',
  price: '20',
  tariff: '0.30',
  evening: '4.5',
  printers: '1',
  isClass: false,
  pupils: '30',
  lessons: '2',
  minutes: '45',
}

type TextKey = Exclude<keyof TrayEntries, 'copies' | 'isClass'>

const FIELDS: readonly (readonly [TextKey, string])[] = [
  ['gap', 'Gap between pieces, mm'],
  ['onSpool', 'Grams on the spool'],
  ['hazard', 'Chance per hour to lose a plate'],
  ['price', 'Price of a kilogram'],
  ['tariff', 'Price of a kilowatt hour'],
  ['printers', 'Printers'],
  ['evening', 'Hours of an evening'],
]
const CLASS_FIELDS: readonly (readonly [TextKey, string])[] = [
  ['pupils', 'Pupils'],
  ['lessons', 'Lessons'],
  ['minutes', 'Minutes of a lesson'],
]

export const TrayForm = ({
  entries,
  sources,
  isBusy,
  onPlan,
}: {
  entries: Signal<TrayEntries>
  sources: readonly Source[]
  isBusy: boolean
  onPlan: () => void
}) => {
  const field = ([key, label]: readonly [TextKey, string]) => (
    <p class="entry" key={key}>
      <label for={`tray-${key}`}>{label}</label>
      <input
        id={`tray-${key}`}
        inputMode="decimal"
        value={entries.value[key]}
        onInput={(event) => {
          entries.value = { ...entries.value, [key]: event.currentTarget.value }
        }}
      />
    </p>
  )
  return (
    <form
      class="tray-form"
      onSubmit={(event) => {
        event.preventDefault()
        onPlan()
      }}
    >
      <fieldset>
        <legend>Copies of each figure</legend>
        {sources.map(({ id, name }, i) => (
          <p class="entry" key={id}>
            <label for={`tray-copies-${i}`}>{name}</label>
            <input
              id={`tray-copies-${i}`}
              type="number"
              min={0}
              max={200}
              value={entries.value.copies[id] ?? '0'}
              onInput={(event) => {
                const copies = { ...entries.value.copies, [id]: event.currentTarget.value }
                entries.value = { ...entries.value, copies }
              }}
            />
          </p>
        ))}
      </fieldset>
      <fieldset>
        <legend>Bed, plastic, time</legend>
        {FIELDS.map(field)}
      </fieldset>
      <fieldset>
        <legend>Class</legend>
        <label class="check">
          <input
            type="checkbox"
            checked={entries.value.isClass}
            onChange={(event) => {
              entries.value = { ...entries.value, isClass: event.currentTarget.checked }
            }}
          />
          <span>work out a school class for the first figure</span>
        </label>
        {entries.value.isClass && CLASS_FIELDS.map(field)}
      </fieldset>
      <p>
        <button type="submit" class="strong" disabled={isBusy}>
          Lay out the tray
        </button>
      </p>
    </form>
  )
}
