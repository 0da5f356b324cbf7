// What if: A is held, B is shown; what differs in words, what it is worth in a short table.

import { useMemo } from 'preact/hooks'
import type { Finding } from '../../engine/findings/index.ts'
import { stepKey } from '../history.ts'
import { isWhole, sheet, step, steps } from '../state.ts'
import { findingChanges, settingsDifferences, worthRows } from './compare-sheets.ts'
import { comingUp, held, holdStep, isSameAsShown, letGo, swap } from './held.ts'
import './whatif.css'

const MOST_TOLD = 4

const Told = ({ name, findings }: { name: string; findings: readonly Finding[] }) =>
  findings.length === 0 ? null : (
    <li>
      <strong>
        {name}
        {': '}
      </strong>
      {findings
        .slice(0, MOST_TOLD)
        .map(({ title }) => title)
        .join('; ')}
      {findings.length > MOST_TOLD ? `; and ${findings.length - MOST_TOLD} more` : ''}
    </li>
  )

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
  const rows = useMemo(() => (a ? worthRows(a.parts, b) : []), [a, b])
  const changes = useMemo(() => (a ? findingChanges(a.parts.findings ?? [], b.findings ?? []) : null), [a, b])
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
        {isWhole.value && changes && !step.value?.code && (
          <>
            <Told name="B is rid of" findings={changes.gone} />
            <Told name="B brings" findings={changes.come} />
            {!changes.gone.length && !changes.come.length && <li>The same findings, other than in their numbers.</li>}
          </>
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

/** Stands over the drawing while something is held. */
const WhatIf = () => {
  const coming = comingUp.value
  if (!held.value && !coming) return null
  return (
    <section class="whatif" aria-labelledby="whatif-title">
      <div class="whatif-head">
        <h2 id="whatif-title">What if</h2>
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
        <p class="faint">
          A and B are the same so far. Try a remedy, change size or recipe, or take a step back: that becomes B, and
          every track shows both lines.
        </p>
      ) : (
        <Comparison />
      )}
    </section>
  )
}

export default WhatIf
