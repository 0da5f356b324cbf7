// Findings, worst first: one plain sentence, then numbers, how sure, why, and remedies that can be tried.

import { useEffect, useRef } from 'preact/hooks'
import { type Finding, worthOf } from '../../engine/findings/index.ts'
import { flagSvg, printedText, SEVERITY_WORDS } from '../../picture/index.ts'
import { isReady, lettered, listed, shownRemedies, tryRemedy } from '../actions/actions.ts'
import { chosen, isWhole, lookAt, progress, sheet, showsAll } from '../state.ts'
import { certaintyWords, effectWords, evidenceWords, outsideWords, remedyWords, whereWords } from './finding-words.ts'
import { Why } from './why.tsx'

/** True when every remedy has been worked out and each of them brings more than it cures. */
const noneHelps = ({ remedies }: Finding): boolean =>
  remedies.length > 0 && remedies.every(({ effect }) => effect !== null && worthOf(effect) === 'worsens')

const Remedies = ({ finding }: { finding: Finding }) => {
  const letters = lettered()
  const remedies = shownRemedies(finding)
  const nMore = finding.remedies.length - remedies.length
  if (!finding.remedies.length) return null
  return (
    <ul class="remedies">
      {remedies.map((remedy) => {
        const found = letters.find((one) => one.remedy === remedy)
        const effect = remedy.effect
          ? effectWords(remedy.effect)
          : isWhole.value
            ? 'effect not known'
            : 'being worked out'
        return (
          <li key={remedy.id}>
            <button
              type="button"
              class={`remedy ${remedy.effect ? worthOf(remedy.effect) : ''}`}
              disabled={!found || !isReady(remedy)}
              onClick={() => tryRemedy(remedy)}
              title={
                found ? 'Try it: one step, which can be taken back' : `Made outside the bench: ${outsideWords(remedy)}`
              }
            >
              <kbd>{found?.letter || '–'}</kbd>
              <span class="remedy-label">{remedyWords(remedy)}</span>
              <span class="remedy-effect">{found ? effect : `${effect} – ${outsideWords(remedy)}`}</span>
            </button>
          </li>
        )
      })}
      {noneHelps(finding) && (
        <li class="none-helps">Nothing tried here helps: each remedy brings more than it cures.</li>
      )}
      {nMore > 0 && (
        <li>
          <button type="button" class="more" onClick={() => lookAt(finding.id)}>
            {nMore} more {nMore === 1 ? 'remedy' : 'remedies'}
          </button>
        </li>
      )}
    </ul>
  )
}

/** A finding of the long tail: its sentence alone, until it is looked at. */
const Line = ({ finding, number }: { finding: Finding; number: number }) => (
  <li class="finding line" id={`finding-${number}`}>
    <span class="flag-mark" dangerouslySetInnerHTML={{ __html: flagSvg(finding.severity, number, 20) }} />
    <p>
      <button type="button" class="look" aria-pressed={false} onClick={() => lookAt(finding.id)}>
        {printedText(finding.title)}
      </button>
      <span class="where"> {whereWords(finding)}</span>
    </p>
  </li>
)

const Entry = ({ finding, number }: { finding: Finding; number: number }) => {
  const item = useRef<HTMLLIElement>(null)
  const isChosen = chosen.value === finding.id
  useEffect(() => {
    if (isChosen && document.activeElement?.closest('.findings') === null)
      item.current?.scrollIntoView({ block: 'nearest' })
  }, [isChosen])
  const first = finding.evidence.slice(0, 3).map(evidenceWords)
  return (
    <li ref={item} class={isChosen ? 'finding chosen' : 'finding'} id={`finding-${number}`}>
      <span class="flag-mark" dangerouslySetInnerHTML={{ __html: flagSvg(finding.severity, number, 23) }} />
      <div>
        <h3>
          <button type="button" class="look" aria-pressed={isChosen} onClick={() => lookAt(finding.id)}>
            {printedText(finding.title)}
          </button>
        </h3>
        <p class="numbers">
          {[whereWords(finding), ...first].join(' · ')}
          {' · '}
          {certaintyWords(finding.certainty.share)}
        </p>
        <Remedies finding={finding} />
        <Why finding={finding} />
      </div>
    </li>
  )
}

/** The list of findings with its legend of shapes. */
export const Findings = () => {
  const { findings } = sheet.value
  const entries = listed()
  const nMore = (findings?.length ?? 0) - entries.length
  const used = [...new Set((findings ?? []).map(({ severity }) => severity))]
  return (
    <section class="findings" aria-labelledby="findings-title">
      <div class="findings-head">
        <h2 id="findings-title" tabIndex={-1}>
          {sheet.value.code ? 'The file, and what differs from the plan' : 'Findings'}
        </h2>
        <p class="faint">
          {!findings
            ? 'are being looked for'
            : findings.length === 0
              ? 'nothing found that speaks against printing it'
              : used
                  .map(
                    (severity) =>
                      `${findings.filter((one) => one.severity === severity).length} ${SEVERITY_WORDS[severity]}`,
                  )
                  .join(' · ')}
          {findings && !isWhole.value && progress.value ? ' so far; more may come, and change the order' : ''}
        </p>
      </div>
      <ol>
        {entries.map(({ finding, number, isTold }) =>
          isTold ? (
            <Entry key={finding.id} finding={finding} number={number} />
          ) : (
            <Line key={finding.id} finding={finding} number={number} />
          ),
        )}
      </ol>
      {nMore > 0 && (
        <button
          type="button"
          class="rest"
          onClick={() => {
            showsAll.value = true
          }}
        >
          show the other {nMore}
        </button>
      )}
    </section>
  )
}
