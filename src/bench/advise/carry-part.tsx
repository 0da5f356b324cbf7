// The recipe for another nozzle: each changed line with its reason, what was kept, and the sheet with it.

import { useSignal } from '@preact/signals'
import { carryOver, withNozzle } from '../../advise/index.ts'
import { type ExamineSettings, recipeInForce, withRecipe } from '../../engine/examine/index.ts'
import type { Bench } from '../pages/bench.ts'
import { saveRecipe } from './save-recipe.ts'

const number = (value: number): string => String(Number(value.toPrecision(3)))

export const CarryPart = ({ settings, bench }: { settings: ExamineSettings; bench: Bench }) => {
  const bore = useSignal('0.25')
  const wanted = bore.value.trim() === '' ? Number.NaN : Number(bore.value)
  const isBore = wanted >= 0.1 && wanted <= 1.2
  const { filament, printer: machine } = settings
  const from = { printer: machine, filament }
  const printer = isBore ? withNozzle(machine, wanted) : machine
  const carried = isBore ? carryOver(recipeInForce(settings), from, { ...from, printer }) : null
  return (
    <section aria-labelledby="carry-title">
      <h3 id="carry-title">What becomes of it with another nozzle?</h3>
      <p class="entry">
        <label for="carry-bore">Bore of the nozzle, mm</label>
        <input
          id="carry-bore"
          inputMode="decimal"
          value={bore.value}
          aria-describedby="carry-range"
          onInput={(event) => {
            bore.value = event.currentTarget.value.replace(',', '.')
          }}
        />
        <span id="carry-range" class="faint">
          0.1 to 1.2; the sheet’s machine has {settings.printer.nozzleBoreMm}
        </span>
      </p>
      {carried && (
        <>
          <p>
            {carried.lines.length === 0
              ? 'No line has to change.'
              : 'Computed, untried. Plastic of the shells, melt rate and time of a layer, and the heat of thin parts are kept as far as they can be.'}
          </p>
          <dl class="advise-lines">
            {carried.lines.map(({ key, words, why }) => (
              <div key={key}>
                <dt>{words}</dt>
                <dd class="faint">{why}</dd>
              </div>
            ))}
          </dl>
          <div class="advise-table page-table">
            <table>
              <caption>What was kept</caption>
              <thead>
                <tr>
                  <th scope="col">number</th>
                  <th scope="col">before</th>
                  <th scope="col">after</th>
                  <th scope="col">unit</th>
                  <th scope="col">kept</th>
                </tr>
              </thead>
              <tbody>
                {carried.kept.map(({ id, label, unit, before, after, isKept }) => (
                  <tr key={id}>
                    <th scope="row">{label}</th>
                    <td>{number(before)}</td>
                    <td>{number(after)}</td>
                    <td>{unit}</td>
                    <td>{isKept ? 'yes' : 'no'}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <p class="advise-buttons">
            <button
              type="button"
              disabled={carried.lines.length === 0}
              onClick={() =>
                void bench.apply(`nozzle of ${wanted} mm`, withRecipe({ ...settings, printer }, carried.recipe))
              }
            >
              Make the sheet with it
            </button>
            <button type="button" onClick={() => saveRecipe(carried.recipe)}>
              Save the recipe
            </button>
            <button type="button" onClick={() => saveRecipe(printer)}>
              Save the printer card
            </button>
          </p>
        </>
      )}
    </section>
  )
}
