// Everything a visitor can do by key or button, in one table: help, keys and buttons come from it.

import { effect } from '@preact/signals'
import { bestRemedy, type Finding, type Remedy, remedyRank } from '../../engine/findings/index.ts'
import { stop, takeStep, walkTo } from '../examine-run.ts'
import { thickerWords } from '../findings/finding-words.ts'
import { withChange } from '../history.ts'
import { leavePage, openPage, pageId } from '../pages/page-place.ts'
import { PAGES } from '../pages/page-table.ts'
import * as state from '../state.ts'
import { compare, held, letGo, swap } from '../whatif/held.ts'

export interface Action {
  readonly id: string
  readonly label: string
  /** Keys as shown in the list of keys. */
  readonly keys: string
  /** True when this key press means the action. */
  readonly hears: (event: KeyboardEvent) => boolean
  readonly perform: () => void
  /** Only where the figure, the log or the section has the focus: these keys also scroll the page. */
  readonly onBoard?: boolean
}

const plain = (event: KeyboardEvent, key: string) =>
  event.key === key && !event.ctrlKey && !event.metaKey && !event.altKey
const withCtrl = (event: KeyboardEvent, key: string, shift: boolean) =>
  (event.ctrlKey || event.metaKey) && !event.altKey && event.shiftKey === shift && event.key.toLowerCase() === key

const layersPerMm = (): number => {
  const { layers } = state.sheet.value
  return layers?.nLayers ? Math.max(1, Math.round(layers.nLayers / layers.faceZ[layers.nLayers])) : 10
}
const turnBy = (degrees: number) => () => {
  const full = 2 * Math.PI
  state.turn.value = (((state.turn.value + (degrees * Math.PI) / 180) % full) + full) % full
}
const lookBy = (n: number) => () => {
  const findings = state.sheet.value.findings ?? []
  if (!findings.length) return
  const at = findings.findIndex(({ id }) => id === state.chosen.value)
  state.lookAt(findings[at < 0 ? 0 : (at + n + findings.length) % findings.length].id)
}

export const canUndo = (): boolean => state.stepAt.value > 0
export const canRedo = (): boolean => state.stepAt.value + 1 < state.steps.value.length

export const ACTIONS: readonly Action[] = [
  {
    id: 'up',
    label: 'One layer up',
    keys: 'Up',
    onBoard: true,
    hears: (e) => plain(e, 'ArrowUp'),
    perform: () => state.scrubByLayers(1),
  },
  {
    id: 'down',
    label: 'One layer down',
    keys: 'Down',
    onBoard: true,
    hears: (e) => plain(e, 'ArrowDown'),
    perform: () => state.scrubByLayers(-1),
  },
  {
    id: 'up-mm',
    label: 'A millimetre up',
    keys: 'Page up',
    onBoard: true,
    hears: (e) => plain(e, 'PageUp'),
    perform: () => state.scrubByLayers(layersPerMm()),
  },
  {
    id: 'down-mm',
    label: 'A millimetre down',
    keys: 'Page down',
    onBoard: true,
    hears: (e) => plain(e, 'PageDown'),
    perform: () => state.scrubByLayers(-layersPerMm()),
  },
  {
    id: 'top',
    label: 'To the top',
    keys: 'End',
    onBoard: true,
    hears: (e) => plain(e, 'End'),
    perform: () => state.scrubByLayers(1e9),
  },
  {
    id: 'bed',
    label: 'To the bed',
    keys: 'Home',
    onBoard: true,
    hears: (e) => plain(e, 'Home'),
    perform: () => state.scrubByLayers(-1e9),
  },
  {
    id: 'left',
    label: 'Turn the figure left',
    keys: 'Left',
    onBoard: true,
    hears: (e) => plain(e, 'ArrowLeft'),
    perform: turnBy(-5),
  },
  {
    id: 'right',
    label: 'Turn the figure right',
    keys: 'Right',
    onBoard: true,
    hears: (e) => plain(e, 'ArrowRight'),
    perform: turnBy(5),
  },
  { id: 'next', label: 'Next finding', keys: '.', hears: (e) => plain(e, '.'), perform: lookBy(1) },
  { id: 'previous', label: 'Finding before', keys: ',', hears: (e) => plain(e, ','), perform: lookBy(-1) },
  {
    id: 'undo',
    label: 'Take the last step back',
    keys: 'Ctrl+Z',
    hears: (e) => withCtrl(e, 'z', false),
    perform: () => void walkTo(state.stepAt.value - 1),
  },
  {
    id: 'redo',
    label: 'Take it again',
    keys: 'Ctrl+Shift+Z',
    hears: (e) => withCtrl(e, 'z', true) || withCtrl(e, 'y', false),
    perform: () => void walkTo(state.stepAt.value + 1),
  },
  {
    id: 'hold',
    label: 'Compare with the step before, or hold this sheet as A and try another as B; again: let A go',
    keys: '=',
    hears: (e) => plain(e, '='),
    perform: () => (held.value ? letGo() : compare()),
  },
  {
    id: 'swap',
    label: 'Swap A and B',
    keys: '/',
    hears: (e) => plain(e, '/'),
    perform: () => void swap(),
  },
  {
    id: 'keys',
    label: 'List keys and words',
    keys: '?',
    hears: (e) => plain(e, '?'),
    perform: () => {
      state.dialog.value = 'keys'
    },
  },
  {
    id: 'close',
    label: 'Close what is open; stop what is being worked out',
    keys: 'Esc',
    hears: (e) => plain(e, 'Escape'),
    perform: () => {
      if (state.dialog.value !== 'none') state.dialog.value = 'none'
      else if (pageId.value) leavePage()
      else if (state.progress.value) stop()
      else state.chosen.value = null
    },
  },
]

/** Letters for remedies, in the order in which they stand on the sheet. */
export const REMEDY_LETTERS = 'abcdefghijklmnopqrstuvwxyz'

/** True when the bench has a setting for the remedy's change. */
const canTry = ({ change }: Remedy): boolean => {
  const { settings, summary } = state.sheet.value
  return !!settings && withChange(settings, change, summary?.soleToEyeMm ?? 28) !== null
}

/** How many findings stand in the list before the rest is asked for, and how many of them are told in full. */
const FIRST_SHOWN = 10
const FIRST_TOLD = 3

/** Findings in the list, each with its number and whether it is told in full or in one line. On paper all of them stand. */
export const listed = (): readonly {
  readonly finding: Finding
  readonly number: number
  readonly isTold: boolean
}[] =>
  (state.sheet.value.findings ?? [])
    .map((finding, k) => ({
      finding,
      number: k + 1,
      isTold: k < FIRST_TOLD || (finding.id === state.chosen.value && !state.isPrinting.value),
    }))
    .filter(
      ({ number, finding }) =>
        number <= FIRST_SHOWN || state.showsAll.value || state.isPrinting.value || finding.id === state.chosen.value,
    )

/** The remedies of a finding that are shown: all of the one that is looked at, else the first that cures it; two on paper. */
export const shownRemedies = (finding: Finding): readonly Remedy[] => {
  if (state.isPrinting.value) return finding.remedies.slice(0, 2)
  if (finding.id === state.chosen.value) return finding.remedies
  // The best that can be tried; beside it the one made outside, where that cures and this does not.
  const best = bestRemedy({ remedies: finding.remedies.filter(canTry) })
  const outside = bestRemedy({ remedies: finding.remedies.filter((one) => !canTry(one) && one.effect !== null) })
  if (!best) return outside ? [outside] : []
  return outside && remedyRank(outside.effect) < remedyRank(best.effect) ? [outside, best] : [best]
}

/** Remedies on the sheet that the bench can try, in order, each with its letter while letters last. */
export const lettered = (): readonly { readonly remedy: Remedy; readonly letter: string }[] =>
  listed()
    .filter(({ isTold }) => isTold)
    .flatMap(({ finding }) => shownRemedies(finding))
    .filter(canTry)
    .map((remedy, k) => ({ remedy, letter: REMEDY_LETTERS[k] ?? '' }))

/** True when a remedy can be tried now: while the sheet is still being worked out, only one whose effect is known. */
export const isReady = (remedy: Remedy): boolean => state.progress.value === null || remedy.effect !== null

/** Tries a remedy: one step, which can be taken back. What is still being worked out of the sheet before it is given up. */
export const tryRemedy = (remedy: Remedy): void => {
  const { step } = state
  if (!step.value || !isReady(remedy)) return
  const settings = withChange(step.value.settings, remedy.change, state.sheet.value.summary?.soleToEyeMm ?? 28)
  // The finding speaks of one place; the step thickens all walls, and says so.
  const { what, to } = remedy.change
  const label = what === 'thickenMm' ? thickerWords(Number(to)) : remedy.label
  if (settings) void takeStep({ label, source: step.value.source, settings })
}

/** Letters that moved less than this ago do nothing while the sheet still grows, ms: the eye has not followed yet. */
const JUST_MOVED_MS = 1000
let letters = ''
let movedAt = 0

/** Notes when a letter comes to stand for another remedy. */
const watchLetters = (): void => {
  effect(() => {
    const now = lettered()
      .map(({ remedy, letter }) => `${letter} ${remedy.id} ${remedy.label}`)
      .join('\n')
    if (now === letters) return
    letters = now
    movedAt = performance.now()
  })
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && !!target.closest('input, select, textarea, [contenteditable]')

/** Hears the keys of the whole page. */
export const listenForKeys = (): void => {
  watchLetters()
  window.addEventListener('keydown', (event) => {
    if (event.defaultPrevented || event.isComposing) return
    // An open dialog has its own keys; the browser closes it on Escape.
    if (isTyping(event.target) || state.dialog.value !== 'none') return
    const isOnBoard = event.target instanceof Element && !!event.target.closest('[data-board]')
    const action = ACTIONS.find((one) => (!one.onBoard || isOnBoard) && one.hears(event))
    if (action) {
      event.preventDefault()
      action.perform()
      return
    }
    if (event.ctrlKey || event.metaKey || event.altKey || event.key.length !== 1) return
    if (/^\d$/.test(event.key)) {
      const id = event.key === '0' ? null : PAGES[Number(event.key) - 1]?.id
      if (id === undefined) return
      event.preventDefault()
      if (id) openPage(id)
      else leavePage()
      return
    }
    if (pageId.value) return
    const found = lettered().find(({ letter }) => letter === event.key)
    if (found) {
      event.preventDefault()
      if (state.progress.value && performance.now() - movedAt < JUST_MOVED_MS)
        state.said.value = 'The list has just changed. Look again, then press the letter again.'
      else tryRemedy(found.remedy)
    }
  })
}
