// What to print next along one setting: chances by level, the levels that teach most, the coupon made and saved.

import { type Signal, useSignal } from '@preact/signals'
import {
  COUPON_QUESTIONS,
  cautionsFor,
  LADDER_SETTINGS,
  LADDERS,
  type LadderSetting,
  levelWords,
  type Opinion,
  planTrial,
  QUESTIONS,
  type Trial,
  type TrialCards,
  type TrialPlan,
} from '../../trials/index.ts'
import type { Bench } from '../pages/bench.ts'
import { WorkingLine } from '../pages/working-line.tsx'
import { saveFile } from '../save-file.ts'
import { workOf } from '../work/work.ts'
import { enter, record, sha256Hex, today } from './kept-record.ts'
import type { ShownCoupon } from './trials-worker.ts'

const work = workOf('trials')
const percent = (share: number): string => `${Math.round(100 * share)} %`
/** A share as a length of a bar. */
const along = (share: number): string => `${(100 * share).toFixed(1)}%`

/** Piece and setting that are looked at. */
export interface Chosen {
  readonly piece: Trial['piece']
  readonly setting: LadderSetting
}

const settingsFor = (piece: Trial['piece']): readonly LadderSetting[] =>
  piece === 'figure' ? LADDER_SETTINGS : LADDER_SETTINGS.filter((setting) => QUESTIONS[piece].settings[setting])

const Choice = ({ chosen }: { chosen: Signal<Chosen> }) => {
  const { piece, setting } = chosen.value
  return (
    <div class="trials-row">
      <p class="entry">
        <label for="trial-piece">Piece</label>
        <select
          id="trial-piece"
          value={piece}
          onChange={({ currentTarget }) => {
            const next = currentTarget.value as Trial['piece']
            const open = settingsFor(next)
            chosen.value = { piece: next, setting: open.includes(setting) ? setting : open[0] }
          }}
        >
          {COUPON_QUESTIONS.map((question) => (
            <option key={question} value={question}>
              {QUESTIONS[question].title}
            </option>
          ))}
          <option value="figure">the figure itself</option>
        </select>
      </p>
      <p class="entry">
        <label for="trial-setting">Setting to try</label>
        <select
          id="trial-setting"
          value={setting}
          onChange={({ currentTarget }) => {
            chosen.value = { piece, setting: currentTarget.value as LadderSetting }
          }}
        >
          {settingsFor(piece).map((one) => (
            <option key={one} value={one}>
              {LADDERS[one].label}
            </option>
          ))}
        </select>
      </p>
    </div>
  )
}

/** Chances by level: the numbers, and a bar with the range that holds nine times of ten. */
const Levels = ({ plan }: { plan: TrialPlan }) => {
  const ladder = LADDERS[plan.setting]
  if (plan.response)
    return (
      <table>
        <caption>Grams to snap by level; nine times of ten within the range</caption>
        <thead>
          <tr>
            <th scope="col">level</th>
            <th scope="col">middle, g</th>
            <th scope="col">range, g</th>
          </tr>
        </thead>
        <tbody>
          {plan.response.map(({ level, value, low, high }) => (
            <tr key={level}>
              <th scope="row">{levelWords(ladder, level)}</th>
              <td>{Math.round(value)}</td>
              <td>
                {Math.round(low)} to {Math.round(high)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    )
  return (
    <table>
      <caption>Chance of a good print by level; nine times of ten within the range</caption>
      <thead>
        <tr>
          <th scope="col">level</th>
          <th scope="col">comes out good</th>
          <th scope="col">range</th>
          <th scope="col">sure it works</th>
          <th scope="col">seen good</th>
        </tr>
      </thead>
      <tbody>
        {plan.levels.map(({ level, chance, sure, good, tried }) => (
          <tr key={level} class={plan.next?.levels.includes(level) ? 'trials-next' : ''}>
            <th scope="row">
              {levelWords(ladder, level)}
              {plan.next?.levels.includes(level) ? ' · next' : ''}
            </th>
            <td>
              <span class="trials-bar" aria-hidden="true">
                <span style={{ left: along(chance.low), width: along(Math.max(0.01, chance.high - chance.low)) }} />
                <i style={{ left: along(chance.mean) }} />
              </span>
              {percent(chance.mean)}
            </td>
            <td>
              {percent(chance.low)} to {percent(chance.high)}
            </td>
            <td>{percent(sure)}</td>
            <td>{tried > 0 ? `${good} of ${tried}` : '–'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const trialOf = async (coupon: ShownCoupon, cards: TrialCards): Promise<Omit<Trial, 'id'>> => ({
  kind: 'trial',
  at: today(),
  piece: coupon.wish.question,
  setting: coupon.wish.setting,
  levels: [...coupon.wish.levels],
  run: coupon.wish.run,
  recipeValue: cards.recipe[coupon.wish.setting],
  recipe: { name: cards.recipe.name, sha256: await sha256Hex(JSON.stringify(cards.recipe)) },
  printer: cards.printer.name,
  filament: cards.filament.name,
  figure: null,
  codeSha256: await sha256Hex(coupon.code),
  note: '',
})

const MadeCoupon = ({ coupon, cards, bench }: { coupon: ShownCoupon; cards: TrialCards; bench: Bench }) => {
  const { question } = coupon.wish
  const name = `${question}-${LADDERS[coupon.wish.setting].word}${coupon.wish.run === 2 ? '-reversed' : ''}`
  const measures = QUESTIONS[question].measures
  const save = async () => {
    saveFile(`${name}.gcode`, coupon.code, 'text/plain')
    const trial = await enter<Trial>('trial', await trialOf(coupon, cards))
    if (trial) bench.say('The coupon is saved, and the trial stands in the record.')
  }
  return (
    <div class="trials-coupon">
      <p>
        {QUESTIONS[question].title}: {coupon.massG.toFixed(2)} g, about {Math.ceil(coupon.printS / 60)} min after
        heating, {coupon.heightMm.toFixed(1)} mm tall. Read back by the bench's own reader: all{' '}
        {coupon.dryRun.checks.length} checks agree.
      </p>
      <ol>
        {coupon.rows.map((row) => (
          <li key={row}>{row.replace(/^row \d+: /, '')}</li>
        ))}
      </ol>
      <details>
        <summary>What was checked</summary>
        <ul>
          {coupon.dryRun.checks.map(({ what, unit, planned, read, kind }) => (
            <li key={what}>
              {what}: {Number(read.toPrecision(6))} {unit} read,{' '}
              {kind === 'equal' ? 'planned' : kind === 'at most' ? 'at most' : 'at least'}{' '}
              {Number(planned.toPrecision(6))} {unit}
            </li>
          ))}
        </ul>
      </details>
      <h4>When it is cold</h4>
      <ul>
        {coupon.look.map((line) => (
          <li key={line}>{line.replace(/: "[^"]*"( or "[^"]*")?/g, '')}</li>
        ))}
      </ul>
      <div class="trials-cautions" role="note" aria-label="Cautions">
        {cautionsFor('coupon', ...(measures.includes('snap') ? (['snap'] as const) : [])).map(({ id, text }) => (
          <p key={id}>{text}</p>
        ))}
      </div>
      <p class="trials-buttons">
        <button type="button" class="strong" onClick={() => void save()}>
          Save the code and record the trial
        </button>
        <button type="button" onClick={() => saveFile(`${name}.ply`, coupon.ply, 'application/octet-stream')}>
          Save the solid
        </button>
      </p>
    </div>
  )
}

export const PlanPart = ({ cards, bench, chosen }: { cards: TrialCards; bench: Bench; chosen: Signal<Chosen> }) => {
  const opinion = useSignal<{ readonly of: string; readonly value: Opinion | null }>({ of: '', value: null })
  const coupon = useSignal<{ readonly of: string; readonly value: ShownCoupon } | null>(null)
  const refusal = useSignal<readonly string[]>([])
  const isReversed = useSignal(false)
  const { piece, setting } = chosen.value
  const key = `${piece} ${setting} ${JSON.stringify([cards.recipe, cards.printer, cards.filament])}`
  const engine = opinion.value.of === key ? opinion.value.value : null
  const plan = planTrial(record.value, piece, setting, cards, { engine })
  const isBusy = work.progress.value !== null
  const ask = async () => {
    const answer = await work.run({ kind: 'forecast', piece, setting, cards })
    if (answer?.kind === 'forecast') opinion.value = { of: key, value: answer.opinion }
    bench.say(answer?.kind === 'forecast' && answer.opinion ? 'The engine has its say.' : 'The engine has no forecast.')
  }
  const make = async (levels: readonly number[]) => {
    if (piece === 'figure') return
    refusal.value = []
    const inOrder = isReversed.value ? levels.slice().reverse() : levels
    const wish = { question: piece, setting, levels: inOrder, run: isReversed.value ? 2 : 1 } as const
    const answer = await work.run({ kind: 'make coupon', wish, cards })
    if (answer?.kind === 'made coupon') {
      coupon.value = { of: key, value: answer.coupon }
      bench.say('The coupon is made and read back.')
    } else if (answer?.kind === 'refused') refusal.value = answer.messages
  }
  const shown = coupon.value?.of === key ? coupon.value.value : null
  return (
    <section aria-labelledby="plan-title">
      <h3 id="plan-title">What should be printed next?</h3>
      <Choice chosen={chosen} />
      {piece !== 'figure' && <p class="faint">{QUESTIONS[piece].asks}</p>}
      {plan.ok ? (
        <>
          {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a narrow screen scrolls it, and the keyboard must be able to */}
          <section class="trials-table page-table" aria-label="Chances by level" tabIndex={0}>
            <Levels plan={plan.value} />
          </section>
          {plan.value.words.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          {plan.value.expected.length > 0 && (
            <p class="faint">Expected beforehand: {plan.value.expected.join('; ')}.</p>
          )}
          {plan.value.simple && (
            <p class="faint">
              By plain up and down: next {levelWords(LADDERS[setting], plan.value.simple.next)}
              {plan.value.simple.estimate
                ? `; it turns at ${levelWords(LADDERS[setting], plan.value.simple.estimate.threshold)} (Dixon and Mood)`
                : ''}
              .
            </p>
          )}
          <p class="trials-buttons">
            {piece !== 'figure' && (
              <>
                <button
                  type="button"
                  class="strong"
                  disabled={isBusy}
                  onClick={() => void make(plan.value.next?.levels ?? [plan.value.best.level])}
                >
                  Make this coupon
                </button>
                <label class="check">
                  <input
                    type="checkbox"
                    checked={isReversed.value}
                    onChange={({ currentTarget }) => {
                      isReversed.value = currentTarget.checked
                    }}
                  />
                  <span>second run, rows in the opposite order</span>
                </label>
              </>
            )}
            <button type="button" disabled={isBusy} onClick={() => void ask()}>
              Ask the engine first
            </button>
          </p>
        </>
      ) : (
        <p role="alert">{plan.issues[0].message}</p>
      )}
      <WorkingLine progress={work.progress.value} trouble={work.trouble.value} onStop={work.stop} />
      {refusal.value.map((message) => (
        <p key={message} role="alert">
          {message}
        </p>
      ))}
      {shown && <MadeCoupon coupon={shown} cards={cards} bench={bench} />}
    </section>
  )
}
