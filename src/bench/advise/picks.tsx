// The short list of advice: what each recipe changes, brings and gives up; then what one step of each setting does.

import type { Advice, AdvicePick, Sensitivity } from '../../advise/index.ts'
import { type ExamineSettings, withRecipe } from '../../engine/examine/index.ts'
import { durationWords } from '../../guide/index.ts'
import type { Bench } from '../pages/bench.ts'
import { saveRecipe } from './save-recipe.ts'

const changeWords = (n: number): string => `${n} ${n === 1 ? 'change' : 'changes'}`

const Pick = ({
  pick,
  number,
  settings,
  bench,
}: {
  pick: AdvicePick
  number: number
  settings: ExamineSettings
  bench: Bench
}) => {
  const { numbers, changes, gains, givesUp } = pick
  return (
    <li>
      <h4>
        {pick.isBase ? 'The recipe as given' : `Recipe ${number}: ${gains[0] ?? changeWords(changes.length)}`}
        {pick.isWithinLimits ? '' : ', beyond the limits'}
      </h4>
      <dl class="page-numbers">
        <div>
          <dt>breaks in falls</dt>
          <dd>{Math.round(10 * numbers.fallsBroken)} of 10</dd>
        </div>
        <div>
          <dt>half of all falls break it from</dt>
          <dd>{numbers.halfBreakM.toFixed(2)} m</dd>
        </div>
        <div>
          <dt>out of place</dt>
          <dd>{numbers.shapeMm3.toFixed(0)} mm³</dd>
        </div>
        <div>
          <dt>time</dt>
          <dd>{durationWords(numbers.printS)}</dd>
        </div>
        <div>
          <dt>plastic</dt>
          <dd>{numbers.massG.toFixed(2)} g</dd>
        </div>
        <div>
          <dt>places that fail</dt>
          <dd>{numbers.fails}</dd>
        </div>
      </dl>
      {changes.length > 0 && (
        <ul aria-label={changeWords(changes.length)}>
          {changes.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      )}
      {gains.length > 0 && <p>Brings: {gains.join('; ')}.</p>}
      <p>
        {givesUp.length > 0 ? `Gives up: ${givesUp.join('; ')}.` : 'Gives up nothing against the others of this list.'}
      </p>
      {pick.departs.length > 0 && <p>Departs from common practice: {pick.departs.join('; ')}.</p>}
      {!pick.isBase && (
        <p class="advise-buttons">
          <button
            type="button"
            class={number === 1 ? 'strong' : ''}
            onClick={() =>
              void bench.apply(`advice ${number}`, withRecipe({ ...settings, stance: pick.turned }, pick.recipe))
            }
          >
            Make the sheet with it
          </button>
          <button type="button" onClick={() => saveRecipe(pick.recipe)}>
            Save the recipe
          </button>
        </p>
      )}
    </li>
  )
}

const signed = (value: number, digits: number): string => `${value > 0 ? '+' : ''}${Number(value.toFixed(digits))}`
const stepWords = ({ step, unit }: Sensitivity): string =>
  unit === 'share, 0-1' ? `+${Number((100 * step).toPrecision(3))} %` : `+${step}${unit ? ` ${unit}` : ''}`

/** The answer. */
export const Picks = ({ advice, settings, bench }: { advice: Advice; settings: ExamineSettings; bench: Bench }) => (
  <>
    {advice.missed.map((words) => (
      <p key={words} class="advise-missed">
        Not kept: {words}.
      </p>
    ))}
    <ol class="advise-picks">
      {advice.picks.map((pick, i) => (
        <Pick key={pick.recipe.name} pick={pick} number={i + 1} settings={settings} bench={bench} />
      ))}
    </ol>
    <div class="advise-table page-table">
      <table>
        <caption>What one step of each setting does, around the first of them</caption>
        <thead>
          <tr>
            <th scope="col">setting</th>
            <th scope="col">step</th>
            <th scope="col">min</th>
            <th scope="col">g</th>
            <th scope="col">fall, m</th>
            <th scope="col">out of place, mm³</th>
          </tr>
        </thead>
        <tbody>
          {advice.sensitivities.map((row) => (
            <tr key={row.key}>
              <th scope="row">{row.label}</th>
              <td>{stepWords(row)}</td>
              <td>{signed(row.printS / 60, 1)}</td>
              <td>{signed(row.massG, 2)}</td>
              <td>{row.halfBreakM === null ? '–' : signed(row.halfBreakM, 3)}</td>
              <td>{row.shapeMm3 === null ? '–' : signed(row.shapeMm3, 1)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
    <ul class="faint">
      {advice.basis.map((words) => (
        <li key={words}>{words}</li>
      ))}
    </ul>
  </>
)
