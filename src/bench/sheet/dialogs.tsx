// The two pages that open over the sheet: size and layers, and the list of keys.

import { useSignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'
import type { LengthUnit } from '../../engine/mesh/index.ts'
import { ACTIONS } from '../actions/actions.ts'
import { takeStep } from '../examine-run.ts'
import { changedKeys } from '../history.ts'
import { dialog, step } from '../state.ts'
import { FIELDS, readField } from './settings-table.ts'

const close = () => {
  dialog.value = 'none'
}

const Page = ({ title, children }: { title: string; children: ComponentChildren }) => {
  const page = useRef<HTMLDialogElement>(null)
  // Before the next key can come: Escape belongs to the page that is open.
  useLayoutEffect(() => {
    page.current?.showModal()
  }, [])
  return (
    <dialog ref={page} class="page" aria-labelledby="page-title" onClose={close}>
      <div class="page-head">
        <h2 id="page-title">{title}</h2>
        <button type="button" onClick={close}>
          Close
        </button>
      </div>
      {children}
    </dialog>
  )
}

const UNITS: readonly (readonly [LengthUnit | '', string])[] = [
  ['', 'guessed'],
  ['mm', 'millimetres'],
  ['cm', 'centimetres'],
  ['m', 'metres'],
  ['inch', 'inches'],
  ['foot', 'feet'],
]

const SettingsPage = () => {
  const settings = step.value?.settings
  const wrong = useSignal<Readonly<Record<string, string>>>({})
  if (!step.value || !settings) return null
  const apply = (form: HTMLFormElement) => {
    const entered = new FormData(form)
    let next = settings
    const faults: Record<string, string> = {}
    for (const field of FIELDS) {
      const outcome = readField(field, String(entered.get(field.id) ?? ''))
      if ('wrong' in outcome) faults[field.id] = outcome.wrong
      else if (outcome.value !== field.read(settings)) next = field.write(next, outcome.value)
    }
    const unit = String(entered.get('unit') ?? '')
    next = { ...next, unit: unit === '' ? null : (unit as LengthUnit) }
    wrong.value = faults
    if (Object.keys(faults).length) return
    close()
    const changed = changedKeys(settings, next)
    if (!changed.length || !step.value) return
    const labels = FIELDS.filter((field) => field.read(settings) !== field.read(next)).map(
      (field) => `${field.label.toLowerCase().split(',')[0]} ${field.read(next) ?? 'guessed'}`,
    )
    if (changed.includes('unit')) labels.push(next.unit ? `unit ${next.unit}` : 'unit guessed')
    void takeStep({ label: labels.join(', '), source: step.value.source, settings: next })
  }
  return (
    <Page title="Size and layers">
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault()
          apply(event.currentTarget)
        }}
      >
        {(['The figure', 'The print'] as const).map((group) => (
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
            {FIELDS.filter((field) => field.group === group).map((field) => (
              <div class="field" key={field.id}>
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
                    aria-invalid={wrong.value[field.id] ? true : undefined}
                  />
                  {field.unit && <span>{field.unit}</span>}
                </span>
                <p id={`${field.id}-help`}>
                  {wrong.value[field.id] ? <strong>{wrong.value[field.id]} </strong> : null}
                  {field.help}
                </p>
              </div>
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

const KeysPage = () => (
  <Page title="Keys">
    <table class="keys">
      <tbody>
        {ACTIONS.map(({ id, keys, label, onBoard }) => (
          <tr key={id}>
            <th scope="row">
              <kbd>{keys}</kbd>
            </th>
            <td>
              {label}
              {onBoard ? <span class="faint"> · on figure, log or section</span> : null}
            </td>
          </tr>
        ))}
        <tr>
          <th scope="row">
            <kbd>a</kbd> to <kbd>z</kbd>
          </th>
          <td>Try the remedy with that letter</td>
        </tr>
      </tbody>
    </table>
  </Page>
)

/** Whichever page is open. */
export const Dialogs = () =>
  dialog.value === 'settings' ? <SettingsPage /> : dialog.value === 'keys' ? <KeysPage /> : null
