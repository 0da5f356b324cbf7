// What if: A is held, B is shown; what differs in words, what it is worth in a short table.

import { useMemo } from 'preact/hooks'
import { canUndo } from '../actions/actions.ts'
import { walkTo } from '../examine-run.ts'
import { stepKey } from '../history.ts'
import { dialog, isWhole, sheet, step, stepAt, steps } from '../state.ts'
import { ChangeLines } from './change-words.tsx'
import { settingsDifferences, whatBecame, worthRows } from './compare-sheets.ts'
import { comingUp, held, holdStep, isSameAsShown, letGo, swap } from './held.ts'
import './whatif.css'

/** Which step is A: any of the history. */
const Choice = () => {
  const key = held.value ? stepKey(held.value.step) : ''
  const known = steps.value.some((one) => stepKey(one) === key)
  return (
    <label class="held-choice">
      <span>A, held:</span>
      <select
        value={key}
        onChange={({ currentTarget }) => {
          const found = steps.value.find((one) => stepKey(one) === currentTarget.value)
          if (found) void holdStep(found)
        }}
      >
        {!known && held.value && <option value={key}>{held.value.step.label}</option>}
        {steps.value
          .filter((one, k, all) => all.findIndex((other) => stepKey(other) === stepKey(one)) === k)
          .map((one) => (
            <option key={stepKey(one)} value={stepKey(one)}>
              {one.label}
            </option>
          ))}
      </select>
    </label>
  )
}

const Comparison = () => {
  const a = held.value
  const b = sheet.value
  const settings = step.value?.settings
  const words = useMemo(() => (a && settings ? settingsDifferences(a.step.settings, settings) : []), [a, settings])
  const isDone = isWhole.value
  const rows = useMemo(() => (a ? worthRows(a.parts, b, isDone) : []), [a, b, isDone])
  const became = useMemo(
    () =>
      a && settings && isDone ? whatBecame(a.parts.findings ?? [], b.findings ?? [], a.step.settings, settings) : null,
    [a, b, settings, isDone],
  )
  if (!a) return null
  const isOtherFigure = a.step.source.id !== step.value?.source.id
  return (
    <div class="whatif-parts">
      <ul class="whatif-words">
        {isOtherFigure && (
          <li>
            <strong>Figures: </strong>
            {step.value?.source.name} instead of {a.step.source.name}
          </li>
        )}
        <li>
          <strong>{step.value?.code ? 'B is a print file, A the plan of its figure. ' : 'B sets otherwise: '}</strong>
          {step.value?.code
            ? 'The findings say what the file does otherwise.'
            : words.length
              ? words.join('; ')
              : 'nothing'}
        </li>
        {!isDone && <li class="faint">B is still being worked out; what becomes of the findings stands here then.</li>}
        {became && !step.value?.code && (
          <ChangeLines became={became} gone="B is rid of" come="B brings" altered="B alters" />
        )}
      </ul>
      <section
        class="table-scroll"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: scrolls sideways, so the keyboard must reach it
        tabIndex={0}
        aria-label="What it is worth"
      >
        <table class="worth">
          <thead>
            <tr>
              <th scope="col">
                <span class="unseen">What it is worth</span>
              </th>
              <th scope="col">A</th>
              <th scope="col">B</th>
              <th scope="col">B has</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((one) => (
              <tr key={one.name}>
                <th scope="row">{one.name}</th>
                <td>{one.a}</td>
                <td>{one.b}</td>
                <td>{one.change || 'the same'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </div>
  )
}

/** A and B are one sheet: what would make another B. */
const SameSoFar = () => (
  <div class="same-so-far">
    <p class="faint">
      A and B are the same so far. What you change now becomes B, and every track shows both lines. Any remedy below
      does it, a recipe file dropped here, or:
    </p>
    <button
      type="button"
      class="strong"
      onClick={() => {
        dialog.value = 'settings'
      }}
    >
      Change size or recipe
    </button>
    {canUndo() && (
      <button type="button" onClick={() => void walkTo(stepAt.value - 1)}>
        Take a step back
      </button>
    )}
  </div>
)

/** Stands over the drawing while something is held. */
const WhatIf = () => {
  const coming = comingUp.value
  if (!held.value && !coming) return null
  return (
    <section class="whatif" aria-labelledby="whatif-title">
      <div class="whatif-head">
        <h2 id="whatif-title">What if: A or B</h2>
        <Choice />
        <p>
          B, shown: <strong>{step.value?.label}</strong>
        </p>
        <span class="whatif-tools">
          <button type="button" disabled={!isWhole.value || isSameAsShown.value} onClick={() => void swap()}>
            Swap A and B
          </button>
          <button type="button" onClick={letGo}>
            Let A go
          </button>
        </span>
      </div>
      {coming ? (
        <p class="faint">
          A is being worked out: {coming.doing}, {Math.round(100 * coming.share)} %
        </p>
      ) : isSameAsShown.value ? (
        <SameSoFar />
      ) : (
        <Comparison />
      )}
    </section>
  )
}

export default WhatIf
