// What the last step did, in words below the verdict: which findings went, which came, minutes and grams.

import { useMemo } from 'preact/hooks'
import { stepKey } from '../history.ts'
import { keptSheet } from '../kept-sheets.ts'
import { isWhole, sheet, stepAt, steps } from '../state.ts'
import { ChangeLines } from './change-words.tsx'
import { sumRows, whatBecame } from './compare-sheets.ts'
import { comingUp, compare, held } from './held.ts'
import './whatif.css'

/** Stands only where the sheet of the step before is still kept, and not beside a comparison, which says more. */
const SinceStep = () => {
  const [before, now] = [steps.value[stepAt.value - 1], steps.value[stepAt.value]]
  const parts = before && isWhole.value ? keptSheet(before) : null
  const isOfSameFile = !!before && before.source.id === now?.source.id && !before.code === !now.code
  const shown = sheet.value
  const told = useMemo(
    () =>
      parts && isOfSameFile && stepKey(before) !== stepKey(now)
        ? {
            became: whatBecame(parts.findings ?? [], shown.findings ?? [], before.settings, now.settings),
            rows: sumRows(parts, shown).filter(({ change }) => change),
          }
        : null,
    [parts, shown],
  )
  if (!told || held.value || comingUp.value) return null
  return (
    <section class="since" aria-label="What the last step did">
      <p>
        <strong>{now.label}</strong>
        {told.rows.length
          ? `: ${told.rows.map(({ name, a, b, change }) => `${name} ${a} → ${b} (${change})`).join('; ')}.`
          : ': time, plastic and the count of findings stay the same.'}
      </p>
      <ul>
        <ChangeLines became={told.became} gone="gone" come="new" altered="other in measure" />
      </ul>
      <button type="button" class="quiet" onClick={compare}>
        Compare every track with the step before
      </button>
    </section>
  )
}

export default SinceStep
