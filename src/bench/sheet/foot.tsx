// The sheet's foot: the cautions and the title block; and what was assumed, which stands under the drawing.

import { type ExamineSettings, recipeInForce } from '../../engine/examine/index.ts'
import { printedText, shown } from '../../picture/index.ts'
import { forgetAll } from '../keep/keep-place.ts'
import { isKeptOffline, sheet, step } from '../state.ts'
import { grouped, inches, lengthWords } from '../units.ts'

/** What was assumed, a sentence each. */
export const Assumed = () => {
  const { summary, figure } = sheet.value
  const sentences = summary?.assumed ?? (figure ? [figure.scale.reason, figure.eyeLine.reason] : [])
  if (!sentences.length) return null
  return (
    <section class="assumed" aria-labelledby="assumed-title">
      <h2 id="assumed-title">Taken for granted</h2>
      <ul>
        {sentences.map((text) => (
          <li key={text}>{printedText(text)}</li>
        ))}
      </ul>
    </section>
  )
}

const Block = ({ rows }: { rows: readonly (readonly [string, string])[] }) => (
  <table class="title-block">
    <caption class="unseen">Title block</caption>
    <tbody>
      {rows.map(([name, value]) => (
        <tr key={name}>
          <th scope="row">{name}</th>
          <td>{value}</td>
        </tr>
      ))}
    </tbody>
  </table>
)

const percent = (share: number): string => `${shown(100 * share, 0)} %`

/** What else the recipe says, so that the sheet on paper can be printed by. */
const recipeRows = (settings: ExamineSettings): readonly (readonly [string, string])[] => {
  const recipe = recipeInForce(settings)
  return [
    ['recipe', `${recipe.name}: flow ${percent(recipe.flowShare)}, infill ${percent(recipe.infillShare)}`],
    [
      'plastic',
      `${settings.filament.name}, nozzle ${recipe.nozzleC} °C, bed ${recipe.bedC} °C, fan ${percent(recipe.fanShare)}`,
    ],
    [
      'speed',
      `${recipe.speedMmPerS} mm/s, outer shell ${recipe.outerShellSpeedMmPerS}, layers of ${recipe.leastLayerTimeS} s or more, retraction ${recipe.retractionMm} mm`,
    ],
  ]
}

const TitleBlock = () => {
  const { figure, settings, code } = sheet.value
  if (code)
    return (
      <Block
        rows={[
          ['print file', code.name],
          ['lines', `${grouped(code.nLines)}, ${code.nArcs} arcs`],
          ['beads', code.roles.map(({ role, n }) => `${n} ${role}`).join(', ')],
          ['weighed against', code.outlines ?? 'nothing'],
          ['held against', code.placement ? (figure?.name ?? '') : 'no figure'],
        ]}
      />
    )
  if (!figure || !settings) return null
  const { health } = figure
  const rows: readonly (readonly [string, string])[] = [
    ['figure', figure.name],
    ['size', `${[0, 1, 2].map((axis) => shown(figure.max[axis] - figure.min[axis], 1)).join(' × ')} mm`],
    ['scale', `1:${Math.round(figure.oneTo)}, ${figure.scale.basis}`],
    [
      'mesh',
      `${grouped(health.nTriangles)} triangles, ${health.nShells} ${health.nShells === 1 ? 'shell' : 'shells'}, ` +
        (health.closed
          ? 'closed'
          : health.nHoles === 0
            ? 'not closed'
            : `${health.nHoles} ${health.nHoles === 1 ? 'hole' : 'holes'}`),
    ],
    ['layers', `${lengthWords(settings.layerHeightMm, 2)}, first ${lengthWords(settings.firstLayerHeightMm, 2)}`],
    ['bead', `${lengthWords(settings.beadWidthMm, 2)}, ${settings.nShells} shells`],
    ...recipeRows(settings),
  ]
  return <Block rows={rows} />
}

/** Cautions and title block. */
export const Foot = () => (
  <footer class="foot">
    <section class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">Cautions</h2>
      <p>
        Nozzle and bed burn: let them cool. Ventilate the room. Wet-sand with a mask on. Small parts: not for children
        under three.
      </p>
      <p class="faint">
        {step.value?.source.story ? `${step.value.source.story} ` : ''}
        Worked out in this browser; nothing is uploaded.
        {isKeptOffline.value ? ' Kept for use without a network.' : ''}
      </p>
      <p class="foot-tools">
        <label class="check">
          <input
            type="checkbox"
            checked={inches.value}
            onChange={(event) => {
              inches.value = event.currentTarget.checked
            }}
          />
          <span>inches beside millimetres</span>
        </label>
        <button type="button" class="quiet" onClick={() => void forgetAll()}>
          Forget the files and steps that this browser keeps for a reload
        </button>
      </p>
    </section>
    <TitleBlock />
  </footer>
)
