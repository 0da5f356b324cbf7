// Starts the bench: theme, keys, files, print, offline keeping, and the first figure.

import { effect } from '@preact/signals'
import { render } from 'preact'
import { listenForKeys } from './actions/actions.ts'
import { crewSources } from './crew-files.ts'
import { keepPlace, openWhereItWas, recallChoices } from './keep/keep-place.ts'
import { keepForOffline } from './keep-offline.ts'
import { listenForFiles } from './open-files.ts'
import { followPageAddress } from './pages/page-place.ts'
import { PAGES } from './pages/page-table.ts'
import { App } from './sheet/app.tsx'
import * as state from './state.ts'
import './style/inks.css'
import './style/sheet.css'
import './style/board.css'
import './style/findings.css'
import './style/pages.css'
import './style/windows.css'
import './style/print.css'

const THEME_KEY = 'fettle theme'

const followTheme = (): void => {
  const stored = localStorage.getItem(THEME_KEY)
  if (stored === 'light' || stored === 'dark') state.theme.value = stored
  effect(() => {
    document.documentElement.dataset.theme = state.theme.value
    localStorage.setItem(THEME_KEY, state.theme.value)
  })
}

const followPrint = (): void => {
  const set = (is: boolean) => () => {
    state.isPrinting.value = is
    document.documentElement.classList.toggle('printing', is)
  }
  window.addEventListener('beforeprint', set(true))
  window.addEventListener('afterprint', set(false))
  matchMedia('print').addEventListener('change', ({ matches }) => set(matches)())
}

followTheme()
followPrint()
followPageAddress(new Set(PAGES.map(({ id }) => id)))
listenForFiles()
listenForKeys()
state.sources.value = crewSources()
const root = document.querySelector('#bench')
if (root) render(<App />, root)
recallChoices()
keepPlace()
void openWhereItWas()
void keepForOffline()
