// The page of the notebook: what is kept, keeping more, withdrawing, carrying it as one file, deleting all of it.

import { useSignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { ENTRY_KINDS, type EntryKind } from '../../notebook/index.ts'
import type { Bench } from '../pages/bench.ts'
import { fileNameOf, saveFile } from '../save-file.ts'
import { keepFile, keepShown } from './keep-things.ts'
import { askNotebook, entries, notebookTrouble, nowMoment, readEntries } from './notebook-client.ts'
import type { ListedEntry } from './notebook-messages.ts'
import './notebook.css'

const KIND_WORDS: Readonly<Record<EntryKind, string>> = {
  figure: 'figure',
  recipe: 'recipe',
  printer: 'printer card',
  filament: 'filament card',
  examination: 'examination',
  trial: 'trial',
  attachment: 'picture or file',
  guide: 'guide',
  note: 'note',
  withdrawal: 'withdrawal',
}
const MOST_ROWS = 300
const WITH_FILE: readonly EntryKind[] = ['figure', 'attachment', 'guide']

/** How much the browser lets this origin keep, in words. */
const storageWords = async (): Promise<string> => {
  const { usage, quota } = (await navigator.storage?.estimate?.()) ?? {}
  if (usage === undefined || quota === undefined) return ''
  const persists = (await navigator.storage.persisted?.()) ?? false
  const mb = (bytes: number) => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`
  return `${mb(usage)} of ${mb(quota)} in use. ${persists ? 'The browser has promised to keep it.' : 'The browser may clear it when space runs short: export it now and then.'}`
}

const Row = ({ entry, onDone }: { entry: ListedEntry; onDone: (said: string) => void }) => {
  const saveIt = async () => {
    if (WITH_FILE.includes(entry.kind)) {
      const bytes = await askNotebook('bytes', entry.id)
      if (bytes.ok) saveFile(entry.words, bytes.value, 'application/octet-stream')
      else onDone(bytes.issues[0].message)
      return
    }
    const payload = await askNotebook('payload', entry.id)
    if (payload.ok)
      saveFile(`${fileNameOf(entry.words)}.json`, `${JSON.stringify(payload.value, null, 2)}\n`, 'application/json')
    else onDone(payload.issues[0].message)
  }
  const withdrawIt = async () => {
    const done = await askNotebook('withdraw', { id: entry.id, at: nowMoment() })
    onDone(
      done.ok
        ? entry.withdraws
          ? 'Brought back.'
          : 'Withdrawn; the entry stays in the history and can be brought back there.'
        : done.issues[0].message,
    )
  }
  return (
    <tr>
      <th scope="row">{KIND_WORDS[entry.kind]}</th>
      <td class={entry.isWithdrawn ? 'withdrawn' : ''}>
        {entry.isWithdrawn ? '(withdrawn) ' : ''}
        {entry.words}
      </td>
      <td class="when">{entry.at.slice(0, 16).replace('T', ' ')}</td>
      <td class="deeds">
        <button type="button" onClick={() => void saveIt()} aria-label={`Save ${entry.words}`}>
          Save
        </button>
        {!entry.isWithdrawn && (
          <button
            type="button"
            onClick={() => void withdrawIt()}
            aria-label={`${entry.withdraws ? 'Undo' : 'Withdraw'} ${entry.words}`}
          >
            {entry.withdraws ? 'Undo' : 'Withdraw'}
          </button>
        )}
      </td>
    </tr>
  )
}

/** What is shown of the list: what holds and once only, or all that was written; of one kind or of all. */
const shownOf = (all: readonly ListedEntry[], kind: EntryKind | '', isHistory: boolean): readonly ListedEntry[] =>
  all
    .filter((entry) => (kind === '' || entry.kind === kind) && (isHistory || !(entry.isWithdrawn || entry.withdraws)))
    .toReversed()

const NotebookPage = ({ bench }: { bench: Bench }) => {
  const kind = useSignal<EntryKind | ''>('')
  const isHistory = useSignal(false)
  const isBusy = useSignal(true)
  const said = useSignal('')
  const storage = useSignal('')
  const asksDelete = useSignal(false)
  const picker = useRef<HTMLInputElement>(null)

  const refresh = async (words = '') => {
    said.value = words
    if (words) bench.say(words)
    await readEntries()
    storage.value = await storageWords()
    isBusy.value = false
  }
  const during = async (step: () => Promise<string>) => {
    isBusy.value = true
    await refresh(await step())
  }
  useEffect(() => {
    void refresh()
  }, [])

  const keep = () =>
    during(async () => {
      await navigator.storage?.persist?.()
      return keepShown(bench)
    })
  const take = (files: readonly File[]) =>
    during(async () => {
      const told: string[] = []
      for (const file of files) told.push(await keepFile(file))
      return told.join(' ')
    })
  const exportAll = () =>
    during(async () => {
      const made = await askNotebook('export', null)
      if (!made.ok) return made.issues[0].message
      saveFile('ferry.notebook', made.value, 'application/vnd.sqlite3')
      return 'Exported: one file with everything in it, which the command and other benches open.'
    })
  const deleteAll = () =>
    during(async () => {
      asksDelete.value = false
      const done = await askNotebook('deleteAll', null)
      return done.ok ? 'Everything was deleted from this browser.' : done.issues[0].message
    })

  const all = entries.value
  const shown = all ? shownOf(all, kind.value, isHistory.value) : []
  return (
    <div class="notebook">
      <p>
        Kept in this browser only; nothing is uploaded. Entries are never changed: what no longer holds is withdrawn by
        a new entry.
      </p>
      <p class="deeds">
        <button type="button" class="strong" disabled={isBusy.value || !bench.isWhole} onClick={() => void keep()}>
          Keep this figure and its examination
        </button>
        <button type="button" disabled={isBusy.value} onClick={() => picker.current?.click()}>
          Take in files
        </button>
        <button type="button" disabled={isBusy.value || !all?.length} onClick={() => void exportAll()}>
          Export as one file
        </button>
        <button type="button" disabled={isBusy.value || !all?.length} onClick={() => (asksDelete.value = true)}>
          Delete everything
        </button>
        <input
          ref={picker}
          type="file"
          multiple
          hidden
          aria-label="Files for the notebook"
          onChange={(event) => {
            const files = [...(event.currentTarget.files ?? [])]
            event.currentTarget.value = ''
            if (files.length) void take(files)
          }}
        />
      </p>
      {asksDelete.value && (
        <p role="alertdialog" aria-label="Delete everything?" class="asks">
          This deletes every entry and file for good. Export it first when in doubt.{' '}
          <button type="button" onClick={() => void deleteAll()}>
            Delete for good
          </button>{' '}
          <button type="button" onClick={() => (asksDelete.value = false)}>
            Keep it
          </button>
        </p>
      )}
      {notebookTrouble.value && (
        <p role="alert">
          {notebookTrouble.value}{' '}
          <button type="button" onClick={() => void during(async () => '')}>
            Try again
          </button>
        </p>
      )}
      <p class="said">{said.value}</p>
      {all && (
        <>
          <p class="entry">
            <label for="notebook-kind">Show</label>
            <select
              id="notebook-kind"
              value={kind.value}
              onChange={(event) => {
                kind.value = event.currentTarget.value as EntryKind | ''
              }}
            >
              <option value="">every kind</option>
              {ENTRY_KINDS.map((one) => (
                <option key={one} value={one}>
                  {KIND_WORDS[one]}
                </option>
              ))}
            </select>
            <label class="check">
              <input
                type="checkbox"
                checked={isHistory.value}
                onChange={(event) => {
                  isHistory.value = event.currentTarget.checked
                }}
              />
              <span>whole history</span>
            </label>
          </p>
          {shown.length === 0 ? (
            <p class="faint">Nothing of this kind is kept yet.</p>
          ) : (
            // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
            <section class="scrolls" tabIndex={0} aria-label="Entries of the notebook">
              <table>
                <thead>
                  <tr>
                    <th scope="col">kind</th>
                    <th scope="col">what</th>
                    <th scope="col">when (UTC)</th>
                    <th scope="col">do</th>
                  </tr>
                </thead>
                <tbody>
                  {shown.slice(0, MOST_ROWS).map((entry) => (
                    <Row key={entry.id} entry={entry} onDone={(words) => void refresh(words)} />
                  ))}
                </tbody>
              </table>
            </section>
          )}
          {shown.length > MOST_ROWS && (
            <p class="faint">{shown.length - MOST_ROWS} older ones are not listed here; the export holds them.</p>
          )}
        </>
      )}
      <p class="faint">{storage.value}</p>
    </div>
  )
}

export default NotebookPage
