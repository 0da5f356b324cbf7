// From symptoms to causes: what is seen, what is answered, how likely each cause is, the best question, the one change.

import { useSignal } from '@preact/signals'
import type { ExamineSettings } from '../../engine/examine/index.ts'
import {
  ASK_IDS,
  CAUSES,
  cautionsFor,
  changeFor,
  diagnose,
  type Evidence,
  evidenceOfRecipe,
  QUESTIONS_TO_ASK,
  SYMPTOM_IDS,
  SYMPTOMS,
  type Symptom,
  type TrialCards,
} from '../../trials/index.ts'
import type { Bench } from '../pages/bench.ts'
import { workOf } from '../work/work.ts'

const work = workOf('trials')
const percent = (share: number): string => `${share < 0.01 ? '< 1' : Math.round(100 * share)} %`

export const DiagnosePart = ({
  cards,
  settings,
  bench,
}: {
  cards: TrialCards
  settings: ExamineSettings
  bench: Bench
}) => {
  const seen = useSignal<readonly Symptom[]>([])
  const answers = useSignal<Readonly<Record<string, string>>>({})
  const examined = useSignal<{ readonly of: string; readonly evidence: readonly Evidence[] }>({ of: '', evidence: [] })
  const ofFigure = examined.value.of === bench.key ? examined.value.evidence : []
  const found =
    seen.value.length > 0
      ? diagnose({
          seen: seen.value,
          notSeen: [],
          answers: answers.value,
          evidence: [...evidenceOfRecipe(cards), ...ofFigure],
        })
      : null
  const change = found?.ok ? changeFor(found.value.causes, cards) : null
  const look = async () => {
    const file = await bench.figure()
    if (!file) return
    const of = bench.key
    const answer = await work.run({ kind: 'evidence', file, settings })
    if (answer?.kind === 'evidence') examined.value = { of, evidence: answer.evidence }
    bench.say("The figure's examination counts now.")
  }
  const answer = (id: string, value: string) => {
    const { [id]: _old, ...others } = answers.value
    answers.value = value === '' ? others : { ...others, [id]: value }
  }
  const asked = found?.ok ? found.value.question : null
  return (
    <section aria-labelledby="diagnose-title">
      <h3 id="diagnose-title">What is behind a symptom?</h3>
      <fieldset>
        <legend>Seen on the print</legend>
        <div class="trials-checks">
          {SYMPTOM_IDS.map((id) => (
            <label class="check" key={id}>
              <input
                type="checkbox"
                checked={seen.value.includes(id)}
                onChange={({ currentTarget }) => {
                  const others = seen.value.filter((other) => other !== id)
                  seen.value = currentTarget.checked ? [...others, id] : others
                }}
              />
              <span>{SYMPTOMS[id].label}</span>
            </label>
          ))}
        </div>
      </fieldset>
      {found?.ok && (
        <>
          <h4>Likely causes</h4>
          <ol class="trials-causes">
            {found.value.causes.slice(0, 6).map(({ cause, label, chance }) => (
              <li key={cause}>
                <span class="trials-bar" aria-hidden="true">
                  <span style={{ left: '0', width: `${(100 * Math.max(0.01, chance)).toFixed(1)}%` }} />
                </span>
                {percent(chance)} {label}
              </li>
            ))}
          </ol>
          {asked && (
            <p class="entry trials-ask">
              <label for="best-question">Better first: {asked.ask}</label>
              <select
                id="best-question"
                value=""
                onChange={({ currentTarget }) => answer(asked.id, currentTarget.value)}
              >
                <option value="">not looked yet</option>
                {asked.answers.map((one) => (
                  <option key={one}>{one}</option>
                ))}
              </select>
            </p>
          )}
          <h4>The one change to make</h4>
          {change ? (
            <p>
              {change.words} It helps with a chance of {percent(change.helps)}.{' '}
              {change.setting !== null && change.to !== null && (
                <button
                  type="button"
                  onClick={() =>
                    void bench.apply(
                      change.words,
                      { ...settings, recipe: { ...settings.recipe, [change.setting as string]: change.to } },
                      'stay',
                    )
                  }
                >
                  Make it on this sheet
                </button>
              )}
            </p>
          ) : (
            <p>None is known for this; ask somebody who can see the print.</p>
          )}
          <details>
            <summary>What counted, and every question</summary>
            <ul>
              {found.value.evidence.map(({ cause, factor, because }) => (
                <li key={`${cause} ${because}`}>
                  {factor > 1 ? 'for' : 'against'} {CAUSES[cause].label}: {because}
                </li>
              ))}
            </ul>
            {ASK_IDS.map((id) => (
              <p class="entry trials-ask" key={id}>
                <label for={`ask-${id.replaceAll(' ', '-')}`}>{QUESTIONS_TO_ASK[id].ask}</label>
                <select
                  id={`ask-${id.replaceAll(' ', '-')}`}
                  value={answers.value[id] ?? ''}
                  onChange={({ currentTarget }) => answer(id, currentTarget.value)}
                >
                  <option value="">not looked yet</option>
                  {QUESTIONS_TO_ASK[id].answers.map((one) => (
                    <option key={one}>{one}</option>
                  ))}
                </select>
              </p>
            ))}
          </details>
          {bench.step && (
            <p>
              <button type="button" disabled={work.progress.value !== null} onClick={() => void look()}>
                Let the figure's examination count
              </button>
            </p>
          )}
        </>
      )}
      <div class="trials-cautions" role="note" aria-label="Cautions for looking into it">
        {cautionsFor('diagnose').map(({ id, text }) => (
          <p key={id}>{text}</p>
        ))}
      </div>
    </section>
  )
}
