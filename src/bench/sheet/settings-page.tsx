// The settings page: the figure, layers and beads, and the lines of the recipe that are changed most, each with its reason.

import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { EXAMINE_DEFAULTS, type ExamineSettings } from '../../engine/examine/index.ts'
import type { LengthUnit } from '../../engine/mesh/index.ts'
import { takeStep } from '../examine-run.ts'
import { changedKeys } from '../history.ts'
import { openForm } from '../open-forms.ts'
import { step } from '../state.ts'
import { closePage, Page } from './page.tsx'
import { otherDifferences, RECIPE_LINES } from './recipe-lines.ts'
import { FIELDS, type NumberField, readField } from './settings-table.ts'

const UNITS: readonly (readonly [LengthUnit | '', string])[] = [
  ['', 'guessed'],
  ['mm', 'millimetres'],
  ['cm', 'centimetres'],
  ['m', 'metres'],
  ['inch', 'inches'],
  ['foot', 'feet'],
]

const LINES: readonly NumberField[] = [...FIELDS, ...RECIPE_LINES]

const Line = ({ field, settings, wrong }: { field: NumberField; settings: ExamineSettings; wrong?: string }) => {
  const start = field.group === 'The figure' ? null : field.read(EXAMINE_DEFAULTS)
  const differs = start !== null && field.read(settings) !== start
  return (
    <div class={differs ? 'field differs' : 'field'}>
      <label for={field.id}>{field.label}</label>
      <span class="entry">
        <input
          id={field.id}
          name={field.id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          defaultValue={String(field.read(settings) ?? '')}
          aria-describedby={`${field.id}-help`}
          aria-invalid={wrong ? true : undefined}
        />
        {field.unit && <span>{field.unit}</span>}
      </span>
      <p id={`${field.id}-help`}>
        {wrong ? <strong>{wrong} </strong> : null}
        {differs ? <strong>{`Starting recipe: ${start} ${field.unit}`.trim()}. </strong> : null}
        {field.help}
      </p>
    </div>
  )
}

/** A file with a recipe or a card, and what it changes that has no line of its own. */
const FromFile = ({ settings }: { settings: ExamineSettings }) => {
  const input = useRef<HTMLInputElement>(null)
  const others = otherDifferences(settings)
  return (
    <div class="from-file">
      <p>{[settings.recipe.name, settings.recipe.printer, settings.recipe.filament].join(' · ')}</p>
      <input
        ref={input}
        class="unseen"
        type="file"
        tabIndex={-1}
        aria-label="Recipe file"
        accept=".json,application/json"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0]
          if (file) void openForm(file)
        }}
      />
      <button type="button" onClick={() => input.current?.click()}>
        Take one from a file
      </button>
      {others.length > 0 && (
        <ul class="others">
          {others.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      )}
    </div>
  )
}

/** Everything that may be set, as one form and one step. */
export const SettingsPage = () => {
  const settings = step.value?.settings
  const wrong = useSignal<Readonly<Record<string, string>>>({})
  if (!step.value || !settings) return null
  const apply = (form: HTMLFormElement) => {
    const entered = new FormData(form)
    let next = settings
    const faults: Record<string, string> = {}
    for (const field of LINES) {
      const outcome = readField(field, String(entered.get(field.id) ?? ''))
      if ('wrong' in outcome) faults[field.id] = outcome.wrong
      else if (outcome.value !== field.read(settings)) next = field.write(next, outcome.value)
    }
    const unit = String(entered.get('unit') ?? '')
    next = { ...next, unit: unit === '' ? null : (unit as LengthUnit) }
    wrong.value = faults
    if (Object.keys(faults).length) return
    closePage()
    const changed = changedKeys(settings, next)
    if (!changed.length || !step.value) return
    const labels = LINES.filter((field) => field.read(settings) !== field.read(next)).map((field) =>
      `${field.label.toLowerCase().split(',')[0]} ${field.read(next) ?? 'guessed'} ${field.read(next) === null ? '' : field.unit}`.trim(),
    )
    if (changed.includes('unit')) labels.push(next.unit ? `unit ${next.unit}` : 'unit guessed')
    void takeStep({ label: labels.join(', '), source: step.value.source, settings: next })
  }
  return (
    <Page title="Size and recipe">
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault()
          apply(event.currentTarget)
        }}
      >
        {(['The figure', 'Layers and beads', 'The recipe'] as const).map((group) => (
          <fieldset key={group}>
            <legend>{group}</legend>
            {group === 'The figure' && (
              <div class="field">
                <label for="unit">Unit of the file</label>
                <select id="unit" name="unit" aria-describedby="unit-help" defaultValue={settings.unit ?? ''}>
                  {UNITS.map(([unit, words]) => (
                    <option key={unit} value={unit} selected={unit === (settings.unit ?? '')}>
                      {words}
                    </option>
                  ))}
                </select>
                <p id="unit-help">Mesh files mostly do not say it. A scale height overrules it.</p>
              </div>
            )}
            {group === 'The recipe' && <FromFile settings={settings} />}
            {LINES.filter((field) => field.group === group).map((field) => (
              <Line key={field.id} field={field} settings={settings} wrong={wrong.value[field.id]} />
            ))}
          </fieldset>
        ))}
        <p class="page-foot">
          <button type="submit" class="strong">
            Examine with these
          </button>
          <span class="faint">One step: it can be taken back.</span>
        </p>
      </form>
    </Page>
  )
}
