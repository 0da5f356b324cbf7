// The whole field of stress: worked out when asked for, told beside the quick look, laid over the figure of the sheet.

import { useSignal } from '@preact/signals'
import type { Bench } from '../pages/bench.ts'
import { ChoiceEntry } from '../pages/choice-entry.tsx'
import { WorkingLine } from '../pages/working-line.tsx'
import { paint } from '../state.ts'
import {
  answer,
  early,
  keepFieldOnSheet,
  layOver,
  progress,
  stopField,
  trouble,
  workOutField,
} from './field-on-sheet.ts'
import type { FieldRow } from './strength-worker.ts'
import './strength.css'

const CELLS = [
  ['', 'as fine as fits (0.2 mm)'],
  ['0.4', '0.4 mm, a first look'],
  ['0.3', '0.3 mm'],
  ['0.2', '0.2 mm'],
  ['0.15', '0.15 mm, twice as much work'],
] as const

let isKept = false

const number = (value: number, digits = 3): string =>
  Number.isFinite(value) ? (value >= 100 ? value.toFixed(0) : value.toPrecision(digits)) : '–'
const percent = (share: number): string => (Number.isFinite(share) ? `${Math.round(100 * share)} %` : '–')

const Row = ({ row, onLook }: { row: FieldRow; onLook: (mm: number) => void }) => (
  <tr>
    <th scope="row">{row.name}</th>
    <td>{number(row.breakForceN)}</td>
    <td>{number(row.quickN)}</td>
    <td>{percent(row.error)}</td>
    <td>{number(row.breakTravelMm)}</td>
    <td>{row.use < 0.001 ? '< 0.1 %' : percent(row.use)}</td>
    <td>
      <button type="button" onClick={() => onLook(row.heightMm)}>
        {row.heightMm.toFixed(1)} mm
      </button>
    </td>
    <td>{row.between ? 'layers part' : 'beads tear'}</td>
  </tr>
)

const StrengthPage = ({ bench }: { bench: Bench }) => {
  if (!isKept) {
    isKept = true
    keepFieldOnSheet(bench)
  }
  const cell = useSignal('')
  const known = answer.value?.of === bench.key && answer.value.value.ok ? answer.value.value : null
  const isBusy = progress.value !== null
  return (
    <div class="strength">
      <p>
        The quick look takes limbs as beams. Here the figure is filled with cubes, and stress is worked out in every one
        of them under the loads that the quick look calls gravest, its own weight and a fall.
      </p>
      <form
        class="strength-form"
        onSubmit={(event) => {
          event.preventDefault()
          void workOutField(bench, cell.value === '' ? null : Number(cell.value))
        }}
      >
        <ChoiceEntry id="field-cell" label="Cubes" value={cell} choices={CELLS}>
          <button type="submit" class="strong" disabled={isBusy || !bench.isWhole}>
            Work out the whole field
          </button>
        </ChoiceEntry>
      </form>
      <WorkingLine progress={progress.value} trouble={trouble.value} onStop={stopField} />
      {isBusy && early.value.length > 0 && (
        <p class="faint">
          First answer: one newton moves the loaded places by{' '}
          {early.value[0].travelMm.map((mm) => `${number(Math.abs(mm), 2)} mm`).join(', ')}.
        </p>
      )}
      {known && (
        <>
          <div class="strength-table page-table">
            <table>
              <caption>What one load does, and what breaks it; heights lead to the sheet</caption>
              <thead>
                <tr>
                  <th scope="col">load</th>
                  <th scope="col">breaks at, N</th>
                  <th scope="col">quick look, N</th>
                  <th scope="col">error up to</th>
                  <th scope="col">travel, mm</th>
                  <th scope="col">strength used by 1 N or by the load</th>
                  <th scope="col">most at</th>
                  <th scope="col">what gives</th>
                </tr>
              </thead>
              <tbody>
                {known.rows.map((row) => (
                  <Row key={row.words} row={row} onLook={bench.lookAt} />
                ))}
              </tbody>
            </table>
          </div>
          <fieldset>
            <legend>Laid over the figure on the sheet</legend>
            {known.quantities.map(({ id, name, unit, to, decimals }, i) => (
              <label class="check" key={id}>
                <input
                  type="radio"
                  name="field-over"
                  checked={paint.value === id}
                  onChange={() => {
                    layOver(id)
                    bench.say(`${name} is laid over the figure.`)
                  }}
                />
                <span>
                  {known.quantityWords[i]}, 0 to {to.toFixed(decimals)} {unit}
                </span>
              </label>
            ))}
            <p>
              <button type="button" onClick={bench.back}>
                Show it on the sheet
              </button>
            </p>
          </fieldset>
          <ul class="strength-words">
            {known.rows.map(({ words }) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <ul class="strength-words faint">
            {known.basis.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  )
}

export default StrengthPage
