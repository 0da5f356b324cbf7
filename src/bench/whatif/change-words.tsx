// What became of the findings between two sheets, in a line each: gone, come, and changed in measure.

import type { Finding } from '../../engine/findings/index.ts'
import { printedText } from '../../picture/index.ts'
import { evidenceWords } from '../findings/finding-words.ts'
import type { Altered, Became, KindCount } from './compare-sheets.ts'

const MOST_TOLD = 4

/** At most a few titles, and how many more there are. */
const titlesWords = (findings: readonly Finding[]): string =>
  [
    ...findings.slice(0, MOST_TOLD).map(({ title }) => printedText(title)),
    ...(findings.length > MOST_TOLD ? [`and ${findings.length - MOST_TOLD} more`] : []),
  ].join('; ')

const alteredWords = ({ before, after }: Altered): string => {
  const [from] = before.evidence
  const [to] = after.evidence
  return `${printedText(after.title)} (${evidenceWords({ ...from, limit: undefined })} before, now ${evidenceWords({ ...to, label: '' }).trim()})`
}

const Told = ({ name, words }: { name: string; words: string }) =>
  words ? (
    <li>
      <strong>{name}: </strong>
      {words}
    </li>
  ) : null

/** Counts of each kind of finding, one side against the other, in a line. */
const KindLine = ({ kinds }: { kinds: readonly KindCount[] }) =>
  kinds.length === 0 ? (
    <li>As many findings of every kind.</li>
  ) : (
    <Told
      name="by kind, since it stands otherwise"
      words={kinds.map(({ kind, a, b }) => `${kind} ${a} → ${b}`).join('; ')}
    />
  )

/** The lines of a list; the names say whose they are, e.g. "B is rid of". */
export const ChangeLines = ({
  became,
  gone,
  come,
  altered,
}: {
  became: Became
  gone: string
  come: string
  altered: string
}) => {
  if (became.by === 'kind') return <KindLine kinds={became.kinds} />
  const { changes } = became
  const few = changes.altered.slice(0, 3).map(alteredWords).join('; ')
  if (!changes.gone.length && !changes.come.length && !few) return <li>The same findings, about as much of each.</li>
  return (
    <>
      <Told name={gone} words={titlesWords(changes.gone)} />
      <Told name={come} words={titlesWords(changes.come)} />
      <Told name={altered} words={few} />
    </>
  )
}
