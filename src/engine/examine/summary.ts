// The numbers at the head of the sheet and the verdict in one sentence.

import type { Finding, RoomResults } from '../findings/index.ts'
import type { ExamineSettings, Summary } from './types.ts'

const lowered = (title: string): string => title.charAt(0).toLowerCase() + title.slice(1)

/** The verdict: what stands against printing this figure, in one sentence, with the gravest named. */
export const verdictOf = (findings: readonly Finding[]): string => {
  const breaks = findings.filter((f) => f.severity === 'breaks')
  const marks = findings.filter((f) => f.severity === 'marks')
  if (breaks.length === 1) return `Not ready: ${lowered(breaks[0].title)}.`
  if (breaks.length > 1)
    return `Not ready: ${breaks.length} places fail or break; the gravest: ${lowered(breaks[0].title)}.`
  if (marks.length === 1) return `It will come out with one mark: ${lowered(marks[0].title)}.`
  if (marks.length > 1) return `It will come out with ${marks.length} marks; the gravest: ${lowered(marks[0].title)}.`
  return 'Nothing seen here stands against printing this figure.'
}

/** Steps on the face, where there is one, else on what is neither base nor underside. */
const stepsOf = ({ surface }: RoomResults): Summary['steps'] => {
  const regions = surface?.steps.choices[0]?.regions ?? []
  const face = regions.find(({ region }) => region === 'face')
  const seen = face ?? regions.find(({ region }) => region === 'cloak and all else')
  return seen ? { on: face ? 'the face' : 'all but the base', meanUm: seen.meanUm, shownShare: seen.shownShare } : null
}

/** Everything the head of the sheet shows. */
export const summaryOf = (results: RoomResults, settings: ExamineSettings, findings: readonly Finding[]): Summary => {
  const { figure, layers } = results
  let volume = 0
  for (let k = 0; k < layers.nLayers; k++) {
    const height = layers.faceZ[k + 1] - layers.faceZ[k]
    for (let i = layers.islandStart[k]; i < layers.islandStart[k + 1]; i++) volume += layers.islandArea[i] * height
  }
  const assumed = [figure.scale.reason, figure.eyeLine.reason]
  if (figure.base) assumed.push(figure.base.reason)
  if (results.print) assumed.push(...results.print.timeline.totals.assumed)
  if (settings.thickenMm !== 0) {
    assumed.push(`Every wall is taken ${Number(settings.thickenMm.toFixed(3))} mm thicker than sculpted.`)
  }
  return {
    name: figure.name,
    soleToEyeMm: figure.eyeLine.value - figure.soleMm,
    totalHeightMm: figure.max[2],
    volumeMm3: volume,
    nLayers: layers.nLayers,
    massG: results.print?.report.massG ?? null,
    printS: results.print?.timeline.totals.printS ?? null,
    steps: stepsOf(results),
    verdict: verdictOf(findings),
    assumed,
  }
}
