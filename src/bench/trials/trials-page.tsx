// The page of trials: what to print next, what came out, what is behind a symptom. One setting at a time; coupons only.

import { useSignal } from '@preact/signals'
import { EXAMINE_DEFAULTS } from '../../engine/examine/index.ts'
import type { Bench } from '../pages/bench.ts'
import { DiagnosePart } from './diagnose-part.tsx'
import { OutcomePart } from './outcome-part.tsx'
import { type Chosen, PlanPart } from './plan-part.tsx'
import { cardsOf } from './trial-cards.ts'
import './trials.css'

const TrialsPage = ({ bench }: { bench: Bench }) => {
  const chosen = useSignal<Chosen>({ piece: 'pins', setting: 'nozzleC' })
  const settings = bench.step?.settings ?? EXAMINE_DEFAULTS
  const cards = cardsOf(settings)
  return (
    <div class="trials">
      <p>
        One setting is changed at a time, on pieces as small as the question allows, with “{cards.printer.name}” and “
        {cards.filament.name}”. Only coupons are written; the figure's own print file never is.
      </p>
      <PlanPart cards={cards} bench={bench} chosen={chosen} />
      <OutcomePart cards={cards} settings={settings} bench={bench} />
      <DiagnosePart cards={cards} settings={settings} bench={bench} />
    </div>
  )
}

export default TrialsPage
