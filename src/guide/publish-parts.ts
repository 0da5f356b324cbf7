// The parts of a guide that come from tables: recipe with reasons, evidence of trials, symptoms, other machines, cautions.

import { escapeText } from '../picture/index.ts'
import { RECIPE_FIELDS, type Recipe, STARTING_RECIPE, valueRows } from '../recipe/index.ts'
import {
  cautionsFor,
  changeFor,
  diagnose,
  evidenceOfRecipe,
  LADDERS,
  levelWords,
  MEASURE_ROWS,
  outcomesOf,
  QUESTIONS,
  type Reading,
  SYMPTOM_IDS,
  SYMPTOMS,
  standing,
  successOf,
  type Trial,
  type TrialCards,
  type TrialsRecord,
  wilsonInterval,
} from '../trials/index.ts'
import type { CarryTable, GuideContent } from './publish-types.ts'
import { numberWords } from './words.ts'

type Key = keyof typeof RECIPE_FIELDS

export const cell = (text: string, kind = ''): string => `<td${kind ? ` class="${kind}"` : ''}>${escapeText(text)}</td>`
export const head = (names: readonly string[]): string =>
  `<thead><tr>${names.map((name) => `<th scope="col">${escapeText(name)}</th>`).join('')}</tr></thead>`
export const rowHead = (text: string): string => `<th scope="row">${escapeText(text)}</th>`
export const listOf = (items: readonly string[], kind: 'ul' | 'ol' = 'ul'): string =>
  items.length === 0 ? '' : `<${kind}>${items.map((item) => `<li>${escapeText(item)}</li>`).join('')}</${kind}>`
/** A table that may be wider than a small screen; it can be reached and moved by keyboard. */
export const tableOf = (caption: string, inside: string, kind = ''): string =>
  `<div class="scroll" tabindex="0" role="group" aria-label="${escapeText(caption)}"><table${kind ? ` class="${kind}"` : ''}><caption>${escapeText(caption)}</caption>${inside}</table></div>`

const GROUP_WORDS: Readonly<Record<string, string>> = { about: 'What it is for' }
const groupWords = (group: string): string => GROUP_WORDS[group] ?? group[0].toUpperCase() + group.slice(1)

/** Keys of a recipe's lines by group, in the order of the table. */
const groups = (): Map<string, Key[]> => {
  const found = new Map<string, Key[]>()
  for (const key of Object.keys(RECIPE_FIELDS) as Key[]) {
    const { group } = RECIPE_FIELDS[key]
    found.set(group, [...(found.get(group) ?? []), key])
  }
  return found
}

/** The words of every value of a recipe, with unit. */
export const recipeWords = (recipe: Recipe): ReadonlyMap<string, string> => {
  const keys = Object.keys(RECIPE_FIELDS)
  return new Map(valueRows(RECIPE_FIELDS, recipe).map(([, words], i) => [keys[i], words]))
}

/** Recipe, group by group: value with unit, and why. What differs from the starting recipe stands out. */
export const recipePart = ({ recipe, about }: GuideContent): string => {
  const now = recipeWords(recipe)
  const start = recipeWords(STARTING_RECIPE)
  const row = (key: Key): string => {
    const { label, meaning, source } = RECIPE_FIELDS[key]
    const own = about.reasons[key]
    const isOther = recipe[key] !== STARTING_RECIPE[key]
    const from = isOther && key !== 'name' ? ` Starting recipe: ${start.get(key)}.` : ''
    const why = own ? `${own} ` : ''
    return (
      `<tr>${rowHead(label)}${cell(now.get(key) ?? '', isOther ? 'value own' : 'value')}` +
      `<td>${escapeText(`${why}${meaning}${from}`)} <span class="quiet">(${escapeText(own ? `the author; ${source}` : source)})</span></td></tr>`
    )
  }
  const tables = [...groups()].map(([group, keys]) =>
    tableOf(
      groupWords(group),
      `${head(['setting', 'value', 'why, and where it comes from'])}<tbody>${keys.map(row).join('')}</tbody>`,
    ),
  )
  return `<p>Values in bold differ from the recipe that Fettle starts with.</p>${tables.join('')}`
}

const readingWords = ({ measure, value, of }: Reading): string => {
  const { unit } = MEASURE_ROWS[measure]
  return of === null
    ? `${measure} ${numberWords(value)}${unit ? ` ${unit}` : ''}`
    : `${measure} ${numberWords(value)} of ${of}`
}

const pieceWords = (trial: Trial): string =>
  trial.piece === 'figure' ? `the figure ${trial.figure?.name ?? ''}`.trim() : QUESTIONS[trial.piece].title

/** Good pieces of all, at every level of a setting, over all trials of it. */
const sumsBySetting = (record: TrialsRecord, beadWidthMm: number) => {
  const sums = new Map<Trial['setting'], Map<number, { good: number; tried: number }>>()
  for (const { trial, outcome } of outcomesOf(record))
    for (const reading of outcome.readings) {
      const success = successOf(reading, beadWidthMm)
      if (!success) continue
      const levels = sums.get(trial.setting) ?? new Map()
      const before = levels.get(reading.level) ?? { good: 0, tried: 0 }
      levels.set(reading.level, { good: before.good + success.good, tried: before.tried + success.tried })
      sums.set(trial.setting, levels)
    }
  return sums
}

const percent = (share: number): string => `${Math.round(100 * share)} %`

/** What was printed to find out, what came of it, and how sure that makes us. */
export const trialsPart = ({ trials, recipe }: GuideContent): string => {
  const found = outcomesOf(trials)
  const waiting = standing(trials).filter(
    (entry) => entry.kind === 'trial' && !found.some(({ trial }) => trial.id === entry.id),
  ).length
  if (found.length === 0)
    return `<p>No test print has been recorded for this recipe yet${waiting > 0 ? `; ${waiting} ${waiting === 1 ? 'is' : 'are'} planned` : ''}. What is said above is computed; treat it as such.</p>`
  const rows = found.map(({ trial, outcome }) => {
    const ladder = LADDERS[trial.setting]
    const seen = outcome.readings.map((reading) => `${levelWords(ladder, reading.level)}: ${readingWords(reading)}`)
    const note = outcome.note ? ` ${outcome.note}` : ''
    return (
      `<tr>${rowHead(outcome.at.slice(0, 10))}${cell(`${pieceWords(trial)}${trial.run === 2 ? ', order reversed' : ''}`)}` +
      `${cell(`${ladder.label}: ${trial.levels.map((level) => levelWords(ladder, level)).join(', ')}`)}${cell(`${seen.join('; ')}.${note}`)}</tr>`
    )
  })
  const sums = [...sumsBySetting(trials, recipe.beadWidthMm)].flatMap(([setting, levels]) =>
    [...levels]
      .sort(([a], [b]) => a - b)
      .map(([level, { good, tried }]) => {
        const { low, high } = wilsonInterval(good, tried)
        const ladder = LADDERS[setting]
        return `<tr>${rowHead(`${ladder.label} ${levelWords(ladder, level)}`)}${cell(`${numberWords(good)} of ${tried}`)}${cell(`${percent(low)} to ${percent(high)}`)}</tr>`
      }),
  )
  const shares =
    sums.length === 0
      ? ''
      : tableOf(
          'How sure this is',
          `${head(['level', 'came out well', 'true share, with 95 of 100 certainty'])}<tbody>${sums.join('')}</tbody>`,
        )
  return (
    tableOf(
      'Test prints and what came of them',
      `${head(['seen on', 'piece', 'setting and levels, in the order laid', 'outcome'])}<tbody>${rows.join('')}</tbody>`,
    ) + shares
  )
}

/** What to do when something shows: likeliest causes for this recipe, and the one change to make first. */
export const symptomsPart = (cards: TrialCards): string => {
  const evidence = evidenceOfRecipe(cards)
  const rows = SYMPTOM_IDS.flatMap((id) => {
    const found = diagnose({ seen: [id], notSeen: [], answers: {}, evidence })
    if (!found.ok || found.value.causes.length === 0) return []
    const { causes, question } = found.value
    const likely = causes.slice(0, 3).map(({ label, chance }) => `${label} (${percent(chance)})`)
    const change = changeFor(causes, cards)
    const first = change ? change.words.replace(' (now ', ' (this recipe: ') : 'Print it once more and look again.'
    return [
      `<tr>${rowHead(SYMPTOMS[id].label)}${cell(likely.join('; '))}<td>${question ? `Look: ${escapeText(question.ask)} ` : ''}First change: ${escapeText(first)}</td></tr>`,
    ]
  })
  return (
    '<p>Change one thing at a time, print, and look again. Chances are from memory of workshop practice; their order matters more than their size.</p>' +
    tableOf('Symptoms', `${head(['you see', 'likely causes', 'look, then change'])}<tbody>${rows.join('')}</tbody>`)
  )
}

const shortNumber = (value: number): string => String(Number(value.toPrecision(3)))

const carryPart = ({ machine, lines, kept }: CarryTable): string => {
  const rows = lines.map(({ words, why }) => {
    const colon = words.indexOf(': ')
    return `<tr>${rowHead(colon > 0 ? words.slice(0, colon) : words)}${cell(colon > 0 ? words.slice(colon + 2) : '')}${cell(why)}</tr>`
  })
  const lost = kept.filter(({ isKept }) => !isKept)
  const stays = kept.filter(({ isKept }) => isKept).map(({ label }) => label)
  const keptWords = stays.length > 0 ? `<p>Stays as it was: ${escapeText(stays.join(', '))}.</p>` : ''
  const lostWords = listOf(
    lost.map(({ label, unit, before, after }) =>
      `Not kept: ${label}, ${shortNumber(before)} to ${shortNumber(after)} ${unit}`.trim(),
    ),
  )
  const table =
    rows.length === 0
      ? '<p>No line has to change.</p>'
      : tableOf(`On ${machine}`, `${head(['setting', 'there', 'why'])}<tbody>${rows.join('')}</tbody>`)
  return `<h3>${escapeText(machine)}</h3>${table}${keptWords}${lostWords}`
}

/** What differs elsewhere: the author's own words, and computed tables for other machines. */
export const otherMachinesPart = ({ about, carried, printer, filament }: GuideContent): string => {
  const own = paragraphs(about.otherMachines)
  const made = `<p>Everything above was worked out for ${escapeText(printer.name)} and ${escapeText(filament.name)}.${carried.length > 0 ? ' The tables below are computed and untried: print a test piece before you trust them.' : ' On another machine print a test piece first, and change one setting at a time.'}</p>`
  return `${made}${own}${carried.map(carryPart).join('')}`
}

/** Text of a person as paragraphs; an empty line parts them. */
export const paragraphs = (text: string): string =>
  text
    .split(/\n\s*\n/)
    .map((part) => part.trim())
    .filter(Boolean)
    .map((part) => `<p>${escapeText(part)}</p>`)
    .join('')

/** Cautions for people who follow a guide: all of them, never left out. */
export const cautionsPart = (): string =>
  `<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before you print: cautions</h2><ul>${cautionsFor(
    'print',
    'finish',
    'give away',
  )
    .map(({ text, source }) => `<li>${escapeText(text)} <span class="quiet">(${escapeText(source)})</span></li>`)
    .join('')}</ul></section>`
