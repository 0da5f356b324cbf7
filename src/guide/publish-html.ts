// The guide: one self-contained HTML page that others can follow on a different machine. No script, nothing loaded from elsewhere.
// Question answered: how do I hand what I found out to somebody else, with reasons, evidence and cautions?
// Limits: it tells the recipe, not the motion code; the sculpt goes with it only when the person says so.

import { bestRemedy, type Finding, SEVERITIES } from '../engine/findings/index.ts'
import { elevationSvg, escapeText, type HeightFrame, reachOf, SEVERITY_WORDS } from '../picture/index.ts'
import { toBase64 } from './base64.ts'
import {
  cautionsPart,
  cell,
  head,
  listOf,
  otherMachinesPart,
  paragraphs,
  recipePart,
  rowHead,
  symptomsPart,
  tableOf,
  trialsPart,
} from './publish-parts.ts'
import { GUIDE_STYLE, paperStyle } from './publish-style.ts'
import type { GuideContent, GuideExamination, PublishedPhoto } from './publish-types.ts'
import { dataBlock } from './read-published.ts'
import { certaintyWords, durationWords, effectWords, evidenceWords, heightWords, numberWords } from './words.ts'

/** Findings that a guide tells; the sheet tells them all. */
const MOST_FINDINGS = 10
const PICTURE = { plotPx: 300, rulePx: 34, most: 320 }

export const CSP = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"

/** The standing figure against its millimetre rule. */
export const figurePicture = ({ layers, summary, topMm }: GuideExamination): string => {
  const frame: HeightFrame = { fromMm: 0, toMm: topMm * 1.03, topPx: 8, plotPx: PICTURE.plotPx }
  const pxPerMm = frame.plotPx / (frame.toMm - frame.fromMm)
  const widthPx = Math.min(PICTURE.most, Math.max(110, 2 * reachOf(layers) * pxPerMm)) + PICTURE.rulePx
  const label = `${summary.name} from the front, ${numberWords(summary.totalHeightMm)} mm tall, beside a rule in millimetres`
  const drawn = elevationSvg(layers, label, { ...frame, widthPx, turn: 0, rulePx: PICTURE.rulePx })
  return `<figure class="standing">${drawn}<figcaption>${escapeText(summary.name)} as it will stand, computed from the sculpt.</figcaption></figure>`
}

const photoPart = ({ photo, alt, caption, scale }: PublishedPhoto): string =>
  `<figure><img src="data:${photo.mime};base64,${toBase64(photo.bytes)}" alt="${escapeText(alt)}" width="${photo.widthPx}" height="${photo.heightPx}"><figcaption>${escapeText(`${caption ? `${caption}. ` : ''}Scale in view: ${scale}.`)}</figcaption></figure>`

const findingRow = (finding: Finding): string => {
  const remedy = bestRemedy(finding)
  const helps = remedy ? `${remedy.label}: ${effectWords(remedy)}` : 'no remedy was found'
  const evidence = finding.evidence.slice(0, 3).map(evidenceWords).join('; ')
  return `<tr>${rowHead(`${finding.severity} (${SEVERITY_WORDS[finding.severity]})`)}${cell(`${finding.title} (${heightWords(finding)}). ${evidence}`)}${cell(certaintyWords(finding))}${cell(helps)}</tr>`
}

/** What the examination says. */
const examinationPart = ({ examination }: GuideContent): string => {
  const { summary, findings } = examination
  const facts = [
    `${numberWords(summary.soleToEyeMm)} mm from sole to eye line, ${numberWords(summary.totalHeightMm)} mm tall`,
    `${summary.nLayers} layers`,
    ...(summary.massG === null ? [] : [`${numberWords(summary.massG)} g of plastic`]),
    ...(summary.printS === null ? [] : [`${durationWords(summary.printS)} of printing`]),
  ]
  const told = [...findings]
    .sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity))
    .slice(0, MOST_FINDINGS)
  const more = findings.length - told.length
  const table =
    told.length === 0
      ? '<p>Nothing was found that keeps this figure from coming out.</p>'
      : tableOf(
          'What was found before printing',
          `${head(['how grave', 'what and where', 'how sure', 'what helps'])}<tbody>${told.map(findingRow).join('')}</tbody>`,
        )
  const rest = more > 0 ? `<p class="quiet">${more} lesser findings are not told here.</p>` : ''
  const assumed =
    summary.assumed.length > 0 ? `<h3>What the examination took for granted</h3>${listOf(summary.assumed)}` : ''
  return `<p>${escapeText(summary.verdict)}</p>${listOf(facts)}${table}${rest}${assumed}`
}

const sculptPart = ({ about, source, sculpt }: GuideContent): string => {
  const { maker, licence, leave } = about.sculpt
  const rows = [
    ['maker of the sculpt', maker],
    ['licence', licence],
    ['leave to show it', leave],
    ['file', `${source.fileName}, SHA-256 ${source.fileSha256}`],
  ]
  const given = sculpt
    ? `<p><a download="${escapeText(sculpt.name)}" href="data:application/octet-stream;base64,${toBase64(sculpt.bytes)}">Take the sculpt out of this page (${escapeText(sculpt.name)}, ${Math.ceil(sculpt.bytes.length / 1000)} kB)</a>. The maker's licence goes with it.</p>`
    : '<p>The sculpt itself is not in this page: get it from its maker.</p>'
  return `<table><tbody>${rows.map(([name, value]) => `<tr>${rowHead(name)}${cell(value, 'hash')}</tr>`).join('')}</tbody></table>${given}`
}

const steps = ({ recipe, printer, filament, carried }: GuideContent): string =>
  listOf(
    [
      'Read the cautions below, and know the rules of the place where you print.',
      `Compare your machine with ${printer.name} and your spool with ${filament.name}${carried.length > 0 ? '; for another one see "On other machines"' : ''}.`,
      `Give the values of the recipe to the program that you print with. Its names may differ; the units are told.`,
      `Print a small test piece at ${numberWords(recipe.nozzleC)} deg C first; then the figure, staying near.`,
      'When something shows that should not, look it up under "When something shows", and change one thing.',
    ],
    'ol',
  )

/** The whole page as text. The same content gives the same page. */
export const publishHtml = (content: GuideContent): string => {
  const { about, recipe, printer, filament, examination, source, photos, paper } = content
  const data = dataBlock({
    form: 'fettle-guide',
    version: 1,
    title: about.title,
    guideVersion: about.guideVersion,
    date: about.date,
    author: about.author,
    soleToEyeMm: examination.summary.soleToEyeMm,
    sculptSha256: source.fileSha256,
    recipe,
    printer,
    filament,
  })
  const pictures =
    photos.length === 0 ? '' : `<h2>Photographs</h2><div class="photos">${photos.map(photoPart).join('')}</div>`
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${CSP}">
<meta name="referrer" content="no-referrer">
<title>${escapeText(about.title)}</title>
<style>${GUIDE_STYLE}${paperStyle(paper)}</style>
</head>
<body>
<main>
<header><h1>${escapeText(about.title)}</h1>
<p class="facts">${escapeText(`By ${about.author} · version ${about.guideVersion} · ${about.date}`)}</p></header>
${figurePicture(examination)}
<div class="lead">${paragraphs(about.introduction)}</div>
<h2>How to follow it</h2>
${steps(content)}
${cautionsPart()}
<h2>The recipe</h2>
${recipePart(content)}
<h2>Evidence</h2>
<h3>Examined before printing</h3>
${examinationPart(content)}
<h3>Test prints</h3>
${trialsPart(content)}
<h2>On other machines</h2>
${otherMachinesPart(content)}
<h2>When something shows</h2>
${symptomsPart({ recipe, printer, filament })}
${pictures}
<h2>The sculpt</h2>
${sculptPart(content)}
<footer class="quiet"><p>${escapeText(`${about.title}, version ${about.guideVersion}, ${about.date}.`)} Made with Fettle ${escapeText(source.toolVersion)}. Drop this page on the bench of Fettle to open its recipe there.</p></footer>
</main>
${data}
</body>
</html>
`
}
