// One finding as HTML: flag, sentence, place, evidence, working, certainty, remedies with what they do.

import type { Finding } from '../engine/findings/index.ts'
import { escapeText, flagSvg, SEVERITY_WORDS } from '../picture/index.ts'
import { certaintyWords, effectWords, evidenceWords, heightWords, placeWords, pointWords } from './words.ts'

const list = (items: readonly string[], kind: string): string =>
  items.length === 0 ? '' : `<ul class="${kind}">${items.map((item) => `<li>${escapeText(item)}</li>`).join('')}</ul>`

/** A finding in full. `number` is that of its flag. */
export const findingHtml = (finding: Finding, number: number): string => {
  const remedies = finding.remedies.map((remedy) => `${remedy.label}: ${effectWords(remedy)}`)
  return `<article class="finding" id="finding-${number}">${flagSvg(finding.severity, number)}<div>
<h3>${escapeText(finding.title)}</h3>
<p class="facts">${escapeText(`${finding.severity} (${SEVERITY_WORDS[finding.severity]}) · ${placeWords(finding)} · ${pointWords(finding)}`)}</p>
<p>${escapeText(finding.evidence.map(evidenceWords).join('; '))}</p>
<p class="quiet">${escapeText(finding.why)} ${escapeText(certaintyWords(finding))}.</p>
${list(remedies, 'remedies')}</div></article>`
}

/** Findings in one line each. `firstNumber` is the flag number of the first. */
export const findingRows = (findings: readonly Finding[], firstNumber: number): string =>
  findings
    .map((finding, i) => {
      const cells = [String(firstNumber + i), finding.severity, finding.title, heightWords(finding)]
      return `<tr>${cells.map((cell) => `<td>${escapeText(cell)}</td>`).join('')}</tr>`
    })
    .join('')
