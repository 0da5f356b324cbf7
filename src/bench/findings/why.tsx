// The "why" of a finding, opened: reasons in words, formula, values with their limits, source, and how sure.

import { useSignal } from '@preact/signals'
import type { Finding } from '../../engine/findings/index.ts'
import { printedText, printedUnit, shown } from '../../picture/index.ts'
import { certaintyWords } from './finding-words.ts'
import type { Working } from './working-table.ts'

const value = (number: number, unit: string): string => {
  const size = Math.abs(number)
  const text = Number.isInteger(number) ? String(number) : shown(number, size >= 100 ? 0 : size >= 10 ? 1 : 3)
  return unit ? `${text} ${printedUnit(unit)}` : text
}

/** Opens by a click or by key; formula and source are fetched when first opened. */
export const Why = ({ finding }: { finding: Finding }) => {
  const working = useSignal<Working | null>(null)
  const fetchWorking = () => {
    if (working.value) return
    import('./working-table.ts').then(
      ({ workingOf }) => {
        working.value = workingOf(finding)
      },
      () => undefined,
    )
  }
  const known = working.value
  return (
    <details
      onToggle={(event) => {
        if (event.currentTarget.open) fetchWorking()
      }}
    >
      <summary>why</summary>
      <p class="why">{printedText(finding.why)}</p>
      <dl class="working-out">
        {known?.formula && (
          <div>
            <dt>formula</dt>
            <dd class="formula">{known.formula}</dd>
            {known.terms && <dd>{known.terms}</dd>}
          </div>
        )}
        {finding.evidence.length > 0 && (
          <div>
            <dt>values</dt>
            <dd>
              <table>
                <tbody>
                  {finding.evidence.map(({ label, value: number, unit, limit }) => (
                    <tr key={label}>
                      <th scope="row">{label}</th>
                      <td>{value(number, unit)}</td>
                      <td>{limit === undefined ? '' : `limit ${value(limit, unit)}`}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </dd>
          </div>
        )}
        {known && (
          <div>
            <dt>source</dt>
            <dd class="source">{known.source}</dd>
          </div>
        )}
        <div>
          <dt>{certaintyWords(finding.certainty.share)}</dt>
          <dd>{printedText(finding.certainty.cause)}</dd>
        </div>
      </dl>
    </details>
  )
}
