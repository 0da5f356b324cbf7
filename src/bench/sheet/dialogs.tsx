// The list of keys with the words of the sheet, and which page is open.

import { ACTIONS } from '../actions/actions.ts'
import { TrackChooser } from '../log/track-chooser.tsx'
import { PAGES } from '../pages/page-table.ts'
import { dialog } from '../state.ts'
import { Page } from './page.tsx'
import { SettingsPage } from './settings-page.tsx'
import { WORDS } from './word-list.ts'

const KeysPage = () => (
  <Page title="Keys and words">
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
        <tr>
          <th scope="row">
            <kbd>1</kbd> to <kbd>9</kbd>
          </th>
          <td>
            Open a page:{' '}
            {PAGES.slice(0, 9)
              .map(({ name }, k) => `${k + 1} ${name.toLowerCase()}`)
              .join(', ')}
          </td>
        </tr>
        <tr>
          <th scope="row">
            <kbd>0</kbd>
          </th>
          <td>Back to the sheet</td>
        </tr>
      </tbody>
    </table>
    <h3>Words on the sheet</h3>
    <dl class="words">
      {WORDS.map(([word, meaning]) => (
        <div key={word}>
          <dt>{word}</dt>
          <dd>{meaning}</dd>
        </div>
      ))}
    </dl>
  </Page>
)

/** Whichever page is open. */
export const Dialogs = () => {
  switch (dialog.value) {
    case 'settings':
      return <SettingsPage />
    case 'keys':
      return <KeysPage />
    case 'tracks':
      return <TrackChooser />
    default:
      return null
  }
}
