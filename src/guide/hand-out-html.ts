// A form for a class: the task, the cautions, the recipe in short, and blanks for the pupils' own results. Made for paper.

import { escapeText } from '../picture/index.ts'
import { RECIPE_FIELDS } from '../recipe/index.ts'
import { cautionsFor, outcomesOf } from '../trials/index.ts'
import { CSP, figurePicture } from './publish-html.ts'
import { cell, head, paragraphs, recipeWords, rowHead, tableOf } from './publish-parts.ts'
import { GUIDE_STYLE, paperStyle } from './publish-style.ts'
import type { GuideContent } from './publish-types.ts'
import { durationWords, heightWords, numberWords } from './words.ts'

/** Lines of the recipe that a class needs at the machine. */
const SHORT = [
  'layerHeightMm',
  'firstLayerHeightMm',
  'beadWidthMm',
  'nShells',
  'infillShare',
  'speedMmPerS',
  'outerShellSpeedMmPerS',
  'nozzleC',
  'bedC',
  'fanShare',
  'retractionMm',
  'leastLayerTimeS',
] as const
/** Places that are looked at, and rows for pupils' trials. */
const PREDICTIONS = 4
const TRIALS = 5

const blanks = (n: number): string => '<td><span class="quiet" aria-hidden="true">&nbsp;</span></td>'.repeat(n)
const write = (label: string): string => `<p>${escapeText(label)} <span class="write"></span></p>`
const tick = (text: string): string => `<li><span class="box"></span>${escapeText(text)}</li>`

/** The form as text. */
export const handOutHtml = (content: GuideContent): string => {
  const { about, recipe, printer, filament, examination, trials, paper } = content
  const { summary, findings } = examination
  const words = recipeWords(recipe)
  const lines = SHORT.map(
    (key) => `<tr>${rowHead(RECIPE_FIELDS[key].label)}${cell(words.get(key) ?? '')}${blanks(1)}</tr>`,
  )
  const told = findings.slice(0, PREDICTIONS)
  const predicted = told.map(
    (finding) =>
      `<tr>${rowHead(`${finding.title} (${heightWords(finding)})`)}${cell(`${Math.round(100 * finding.certainty.share)} %`)}${blanks(2)}</tr>`,
  )
  const known = outcomesOf(trials).length
  const facts = [
    ...(summary.printS === null ? [] : [`about ${durationWords(summary.printS)}`]),
    ...(summary.massG === null ? [] : [`${numberWords(summary.massG)} g`]),
    `${numberWords(summary.totalHeightMm)} mm tall`,
  ].join(', ')
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${CSP}">
<meta name="referrer" content="no-referrer">
<title>${escapeText(`${about.title}: hand-out`)}</title>
<style>${GUIDE_STYLE}${paperStyle(paper)}</style>
</head>
<body>
<main>
<header><h1>${escapeText(about.title)}</h1>
<p class="facts">${escapeText(`Hand-out, version ${about.guideVersion}, ${about.date}. Figure: ${facts}. Machine: ${printer.name}. Plastic: ${filament.name}.`)}</p></header>
${write('Name:')}${write('Class and day:')}
${figurePicture(examination)}
${paragraphs(about.introduction)}
<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Before you start: read, and tick</h2>
<ul>${cautionsFor('print', 'snap', 'finish', 'give away')
    .map(({ text }) => tick(text))
    .join('')}</ul>
${write('An adult who knows the machine has looked at it:')}</section>
<h2>1. The recipe</h2>
${tableOf('What the recipe says, and what you set', `${head(['setting', 'recipe', 'you set'])}<tbody>${lines.join('')}</tbody>`, 'blank')}
<h2>2. What do you expect?</h2>
${
  predicted.length > 0
    ? tableOf(
        'Foretold by computing, and by you',
        `${head(['what may happen', 'foretold, how sure', 'what do you think?', 'what happened?'])}<tbody>${predicted.join('')}</tbody>`,
        'blank',
      )
    : '<p>Computing foretells nothing bad. Do you agree?</p>'
}
<h2>3. Your trials: change one thing at a time</h2>
<p>${escapeText(known > 0 ? `The author recorded ${known} ${known === 1 ? 'outcome' : 'outcomes'}. Are yours alike?` : 'Nobody has recorded a trial yet: yours are the first.')}</p>
${tableOf('Your results', `${head(['trial', 'what you changed, from and to', 'what you counted or measured (of how many, mm, g)', 'good or not, and why'])}<tbody>${Array.from({ length: TRIALS }, (_, i) => `<tr>${rowHead(String(i + 1))}${blanks(3)}</tr>`).join('')}</tbody>`, 'blank')}
<h2>4. What did you find out?</h2>
${tableOf('In your own words', `<tbody><tr>${rowHead('Which setting mattered most?')}${blanks(1)}</tr><tr>${rowHead('How sure are you, and why?')}${blanks(1)}</tr><tr>${rowHead('What would you try next?')}${blanks(1)}</tr></tbody>`, 'blank')}
<footer class="quiet"><p>${escapeText(`Sculpt by ${about.sculpt.maker}; licence: ${about.sculpt.licence}; leave to show it: ${about.sculpt.leave}.`)}</p></footer>
</main>
</body>
</html>
`
}
