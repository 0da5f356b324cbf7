// The list of keys, and which page is open.

import { ACTIONS } from '../actions/actions.ts'
import { dialog } from '../state.ts'
import { Page } from './page.tsx'
import { SettingsPage } from './settings-page.tsx'

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
