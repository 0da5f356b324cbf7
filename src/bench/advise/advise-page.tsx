// The recipe's own page: is it right in itself, which would suit this figure better, what becomes of it with another nozzle?

import { useSignal } from '@preact/signals'
import { ADVICE_DEFAULTS, type Levels, VARIED_KEYS, type VariedKey } from '../../advise/index.ts'
import { type ExamineSettings, recipeInForce } from '../../engine/examine/index.ts'
import { RECIPE_FIELDS } from '../../recipe/index.ts'
import type { Bench } from '../pages/bench.ts'
import { ChoiceEntry } from '../pages/choice-entry.tsx'
import { WorkingLine } from '../pages/working-line.tsx'
import { workOf } from '../work/work.ts'
import { CarryPart } from './carry-part.tsx'
import { Checks } from './checks.tsx'
import { Picks } from './picks.tsx'
import './advise.css'

const work = workOf('advise')

/** Limits of the form: id, label, unit; the sentence beside the field. */
const LIMITS = [
  { id: 'mostMinutes', label: 'Longest print, min', most: 10_000 },
  { id: 'mostGrams', label: 'Most plastic, g', most: 10_000 },
  { id: 'leastFallM', label: 'Height that half of all falls must spare it from, m', most: 50 },
] as const

type LimitId = (typeof LIMITS)[number]['id']

const limitIn = (text: string, most: number): number | undefined => {
  const value = Number(text.replace(',', '.'))
  return text.trim() !== '' && value > 0 && value <= most ? value : undefined
}

const Search = ({ settings, bench }: { settings: ExamineSettings; bench: Bench }) => {
  const limits = useSignal<Readonly<Record<LimitId, string>>>({ mostMinutes: '', mostGrams: '', leastFallM: '' })
  const held = useSignal<readonly VariedKey[]>([])
  const nTrials = useSignal('8')
  const nStances = useSignal('0')
  const beyondPractice = useSignal(false)
  const recipe = recipeInForce(settings)
  const answer = work.answer.value?.of === bench.key ? work.answer.value.value : null
  const isBusy = work.progress.value !== null
  const search = async () => {
    const file = await bench.figure()
    if (!file) return
    const levels: Partial<Levels> = Object.fromEntries(held.value.map((key) => [key, [recipe[key]]]))
    const own = Object.fromEntries(LIMITS.map(({ id, most }) => [id, limitIn(limits.value[id], most)]))
    const wish = {
      ...ADVICE_DEFAULTS,
      settings,
      levels,
      limits: own,
      nTrials: Number(nTrials.value),
      beyondPractice: beyondPractice.value,
    }
    const found = await work.run({ file, wish, nStances: Number(nStances.value) }, bench.key)
    if (found?.ok) bench.say(`${found.advice.picks.length} recipes are told.`)
  }
  return (
    <section aria-labelledby="search-title">
      <h3 id="search-title">Which recipe would suit this figure better?</h3>
      <form
        class="advise-form"
        onSubmit={(event) => {
          event.preventDefault()
          void search()
        }}
      >
        {LIMITS.map(({ id, label }) => (
          <p class="entry" key={id}>
            <label for={`limit-${id}`}>{label}</label>
            <input
              id={`limit-${id}`}
              inputMode="decimal"
              placeholder="no limit"
              value={limits.value[id]}
              onInput={(event) => {
                limits.value = { ...limits.value, [id]: event.currentTarget.value }
              }}
            />
          </p>
        ))}
        <ChoiceEntry
          id="advise-trials"
          label="Recipes to lay in full"
          value={nTrials}
          choices={['4', '8', '12', '20']}
        />
        <ChoiceEntry id="advise-stances" label="Other stances to try" value={nStances} choices={['0', '1', '2', '3']} />
        <fieldset>
          <legend>Must stay as it is</legend>
          {VARIED_KEYS.map((key) => (
            <label class="check" key={key}>
              <input
                type="checkbox"
                checked={held.value.includes(key)}
                onChange={(event) => {
                  const others = held.value.filter((other) => other !== key)
                  held.value = event.currentTarget.checked ? [...others, key] : others
                }}
              />
              <span>{RECIPE_FIELDS[key].label}</span>
            </label>
          ))}
        </fieldset>
        <label class="check">
          <input
            type="checkbox"
            checked={beyondPractice.value}
            onChange={(event) => {
              beyondPractice.value = event.currentTarget.checked
            }}
          />
          <span>also recipes that depart from common practice</span>
        </label>
        <p>
          <button type="submit" class="strong" disabled={isBusy}>
            Search
          </button>
        </p>
      </form>
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {answer?.ok === false &&
        answer.messages.map((message) => (
          <p key={message} role="alert">
            {message}
          </p>
        ))}
      {answer?.ok && <Picks advice={answer.advice} settings={settings} bench={bench} />}
    </section>
  )
}

const AdvisePage = ({ bench }: { bench: Bench }) => {
  const settings = bench.step?.settings
  if (!settings) return null
  return (
    <div class="advise">
      <Checks settings={settings} bench={bench} />
      <Search settings={settings} bench={bench} />
      <CarryPart settings={settings} bench={bench} />
    </div>
  )
}

export default AdvisePage
