// Advice: how many combinations are estimated a second, how long one laid recipe takes, recipes that share beads against each planned
// anew, unbeaten rows against every pair.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ADVICE_DEFAULTS, advise, seededNumbers, unbeatenRows } from '../src/advise/index.ts'
import {
  createExaminer,
  EXAMINE_DEFAULTS,
  type Examiner,
  keptForSearch,
  withRecipe,
} from '../src/engine/examine/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { type BenchRow, least } from './least.ts'

const ROWS = 4000
const COLUMNS = 5

/** Every row against every other. */
const everyPair = (rows: Float64Array, k: number): number => {
  const n = rows.length / k
  let nKept = 0
  for (let i = 0; i < n; i++) {
    let isBeaten = false
    for (let j = 0; j < n && !isBeaten; j++) {
      let isLess = false
      let isMore = false
      for (let c = 0; c < k; c++) {
        if (rows[j * k + c] < rows[i * k + c]) isLess = true
        if (rows[j * k + c] > rows[i * k + c]) isMore = true
      }
      isBeaten = isLess && !isMore
    }
    if (!isBeaten) nKept++
  }
  return nKept
}

/** Recipes as a search lays them: two fillings, each fed, driven and cooled in three ways. */
const FEEDS = [{}, { flowShare: 1, speedMmPerS: 59 }, { accelerationMmPerS2: 500, leastLayerTimeS: 8 }]
const LAID = [0.5, 0.3].flatMap((infillShare) => FEEDS.map((feed) => ({ infillShare, ...feed })))

const adviseBench = async (): Promise<BenchRow[]> => {
  const random = seededNumbers(7)
  const rows = Float64Array.from({ length: ROWS * COLUMNS }, random)
  const ours = await least(5, () => unbeatenRows(rows, COLUMNS))
  const theirs = await least(3, () => everyPair(rows, COLUMNS))

  const kit = await loadPolygonKit()
  const bytes = new Uint8Array(readFileSync(join(process.cwd(), 'dist', 'crew', 'ferry-dog.ply')))
  const settings = { ...EXAMINE_DEFAULTS, unit: 'mm' as const }
  const stances = [{ stance: settings.stance, words: 'as given' }]
  const layAll = async (examinerOf: () => Examiner): Promise<void> => {
    for (const change of LAID) {
      const changed = withRecipe(settings, { ...settings.recipe, ...change })
      const outcome = await examinerOf().examine(bytes, 'ferry dog', changed, { withoutRemedies: true })
      if (!outcome.ok) throw new Error(outcome.issues[0].message)
    }
  }
  const anew = await least(2, () => layAll(() => createExaminer(kit)))
  const shared = await least(2, () => {
    const one = createExaminer(kit, null, keptForSearch(600e6))
    return layAll(() => one)
  })
  const nTrials = 4
  let whole = Number.NaN
  let nEstimated = 0
  const took = await least(1, async () => {
    const outcome = await advise(bytes, 'ferry dog', { ...ADVICE_DEFAULTS, settings, stances, nTrials }, kit)
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
    nEstimated = outcome.value.nEstimated
    whole = outcome.value.nLaid
  })
  return [
    {
      subject: `unbeaten of ${ROWS} rows of ${COLUMNS}`,
      against: 'every pair, by a plain double loop',
      oursS: ours,
      theirsS: theirs,
      note: `${unbeatenRows(rows, COLUMNS).length} unbeaten`,
    },
    {
      subject: `${LAID.length} recipes of the ferry dog laid, parts kept`,
      against: 'each by an examiner of its own',
      oursS: shared,
      theirsS: anew,
      note: 'two fillings, three ways of feeding each; the same answers to the digit',
    },
    {
      subject: 'advice for the ferry dog',
      against: '',
      oursS: took,
      theirsS: Number.NaN,
      note: `${nEstimated} combinations estimated, ${whole} laid in full`,
    },
  ]
}

export default adviseBench
