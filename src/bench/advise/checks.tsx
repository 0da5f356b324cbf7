// What the checks say of the recipe that the sheet is made with: contradictions, departures, notes, each with its reason.

import { type ExamineSettings, recipeInForce, settingsAfter } from '../../engine/examine/index.ts'
import { checkRecipe, type RecipeRemark, type RemarkKind } from '../../engine/findings/index.ts'
import { RECIPE_FIELDS } from '../../recipe/index.ts'
import type { Bench } from '../pages/bench.ts'

const HEADS: Readonly<Record<RemarkKind, string>> = {
  contradiction: 'Contradictions',
  departure: 'Departures from common practice',
  note: 'Notes',
}

const labelOf = (what: string): string => RECIPE_FIELDS[what as keyof typeof RECIPE_FIELDS]?.label ?? what

const Remark = ({ remark, settings, bench }: { remark: RecipeRemark; settings: ExamineSettings; bench: Bench }) => {
  const { change } = remark
  return (
    <li>
      <p>
        {remark.title}. <span class="faint">{remark.why}</span>
      </p>
      {change && (
        <button
          type="button"
          onClick={() =>
            void bench.apply(
              `${labelOf(change.what)} ${Number(Number(change.to).toPrecision(4))}`,
              settingsAfter(settings, change),
              'stay',
            )
          }
        >
          Set {labelOf(change.what)} to {Number(Number(change.to).toPrecision(4))}
        </button>
      )}
    </li>
  )
}

export const Checks = ({ settings, bench }: { settings: ExamineSettings; bench: Bench }) => {
  const recipe = recipeInForce(settings)
  const remarks = checkRecipe(recipe, settings.printer, settings.filament)
  const isClean = remarks.every(({ kind }) => kind === 'note')
  return (
    <section aria-labelledby="checks-title">
      <h3 id="checks-title">Is it right in itself?</h3>
      <p>
        “{recipe.name}”, held against “{settings.printer.name}”, “{settings.filament.name}” and common practice.
        {isClean ? ' Nothing contradicts, and every line is common practice for figures.' : ''}
      </p>
      {(Object.keys(HEADS) as RemarkKind[]).map((kind) => {
        const own = remarks.filter((remark) => remark.kind === kind)
        return own.length === 0 ? null : (
          <div key={kind}>
            <h4>{HEADS[kind]}</h4>
            <ul class="advise-remarks">
              {own.map((remark) => (
                <Remark key={remark.id} remark={remark} settings={settings} bench={bench} />
              ))}
            </ul>
          </div>
        )
      })}
    </section>
  )
}
