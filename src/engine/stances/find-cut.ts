// "Print it lying and glue it": where a cut plane with a pin or a peg makes two good prints out of one bad. Advice; nothing is cut.
//
// The limb that gives first is taken off where it meets the rest; each part is searched by cheap measures for its own stance; the gain is
// the weakest of both parts and the joint against the whole figure in its best single stance.

import { type ExamineSettings, recipeInForce } from '../examine/index.ts'
import type { Figure } from '../figure/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import type { QuickStrength } from '../strength/index.ts'
import { attitudeWords } from './attitudes.ts'
import { sphereDirections, tiltDirections } from './directions.ts'
import { chooseJoint, leastHoleMm } from './joints.ts'
import { limbsAt, limbTable } from './limb-table.ts'
import { MOST_LEAN_COS } from './pick-stances.ts'
import { measureStance, type SearchBody, type SearchPrint } from './search-stances.ts'
import { surfaceTable } from './surface-table.ts'
import { type ThinLimb, thinLimbAt } from './thin-limb.ts'
import {
  type CutAdvice,
  type CutPart,
  type CutPlane,
  type Direction,
  STANCE_COLUMNS,
  STANCE_ROW,
  type StanceSearch,
} from './types.ts'

/** Shorter limbs are not worth a joint, mm. */
const LEAST_LENGTH_MM = 6
/** Room for props must fall to this share, or hold double, where one piece would be as strong. */
const MUCH_LESS = 0.7
/** A cut must make the weakest place this much stronger than in the given stance. */
const LEAST_GAIN = 1.25
/** Directions tried for each part. */
const PART_DIRECTIONS = 500

/** Triangles of the limb: nearest to one of its stations, and no farther from it than it is thick. */
const trianglesOf = (figure: Figure, { frame }: QuickStrength, { isLimb }: ThinLimb): [Uint32Array, Uint32Array] => {
  const { positions, triangles } = figure.mesh
  const limb: number[] = []
  const rest: number[] = []
  for (let t = 0; t < triangles.length / 3; t++) {
    const p = [0, 0, 0]
    for (let k = 0; k < 3; k++) for (let c = 0; c < 3; c++) p[c] += positions[3 * triangles[3 * t + k] + c] / 3
    let [near, square] = [-1, Infinity]
    for (let i = 0; i < frame.nStations; i++) {
      const d = (frame.at[3 * i] - p[0]) ** 2 + (frame.at[3 * i + 1] - p[1]) ** 2 + (frame.at[3 * i + 2] - p[2]) ** 2
      if (d < square) [near, square] = [i, d]
    }
    const isNear = near >= 0 && isLimb[near] === 1 && square <= (0.8 * frame.thickMm[near] + 0.4) ** 2
    ;(isNear ? limb : rest).push(t)
  }
  return [Uint32Array.from(limb), Uint32Array.from(rest)]
}

/** The best direction of a part: strong, with little to prop, low. @param hold how much it counts that it holds on to the bed */
const bestOf = async (
  body: SearchBody,
  print: SearchPrint,
  near: readonly Direction[],
  hold: number,
  leastUp = -1,
  task?: Task,
): Promise<{ up: Direction; row: Float64Array }> => {
  const ups = [...tiltDirections(12, [5, 10, 20, 30]), ...sphereDirections(PART_DIRECTIONS)]
  const tried: Direction[] = [...near]
  for (let i = 0; i < ups.length; i += 3) if (ups[i + 2] >= leastUp) tried.push([ups[i], ups[i + 1], ups[i + 2]])
  let best = { up: tried[0], row: new Float64Array(STANCE_COLUMNS), score: Infinity }
  for (const [k, up] of tried.entries()) {
    if (k % 8 === 0) await breathe(task)
    const row = new Float64Array(STANCE_COLUMNS)
    measureStance(body, print, up, row)
    const force = row[STANCE_ROW.leastForce]
    const score =
      (Number.isFinite(force) ? -Math.log(Math.max(force, 1e-3)) : 0) +
      Math.log(1 + row[STANCE_ROW.propRoom] / 100) +
      0.3 * Math.log(row[STANCE_ROW.minutes]) +
      hold * Math.max(0, 1 - row[STANCE_ROW.pry])
    if (score < best.score) best = { up, row, score }
  }
  return best
}

const partOf = (name: string, volumeMm3: number, up: Direction, row: Float64Array): CutPart => ({
  name,
  volumeMm3,
  up,
  attitude: attitudeWords(up),
  heightMm: row[STANCE_ROW.height],
  undersideMm2: row[STANCE_ROW.underside],
  propRoomMm3: row[STANCE_ROW.propRoom],
  leastForceN: row[STANCE_ROW.leastForce],
  thinAcrossMm: row[STANCE_ROW.thinAcross],
  minutes: row[STANCE_ROW.minutes],
  contactMm2: row[STANCE_ROW.contact],
  pryN: row[STANCE_ROW.pry],
})

/** Directions square to an axis, all round: the limb lies on the bed. */
const squareTo = (axis: Direction): Direction[] => {
  const side: Direction = Math.abs(axis[2]) < 0.9 ? [-axis[1], axis[0], 0] : [0, -axis[2], axis[1]]
  const n = Math.hypot(...side)
  const a = side.map((v) => v / n)
  const b = [axis[1] * a[2] - axis[2] * a[1], axis[2] * a[0] - axis[0] * a[2], axis[0] * a[1] - axis[1] * a[0]]
  return Array.from({ length: 24 }, (_, k) => {
    const [c, s] = [Math.cos((k * Math.PI) / 12), Math.sin((k * Math.PI) / 12)]
    return [c * a[0] + s * b[0], c * a[1] + s * b[1], c * a[2] + s * b[2]] as const
  })
}

/** The part's volume from the plastic of its stations, mm3. */
const volumeOf = ({ frame }: QuickStrength, { isLimb }: ThinLimb, densityGPerCm3: number): number => {
  let grams = 0
  for (let i = 0; i < frame.nStations; i++) if (isLimb[i]) grams += frame.massG[i]
  return (1000 * grams) / densityGPerCm3
}

/** Looks for a cut. @returns the advice, or the reason why there is none */
export const findCut = async (
  figure: Figure,
  strength: QuickStrength,
  whole: SearchBody,
  print: SearchPrint,
  search: StanceSearch,
  settings: ExamineSettings,
  task?: Task,
): Promise<{ readonly advice: CutAdvice | null; readonly reason: string | null }> => {
  const none = (reason: string) => ({ advice: null, reason })
  const { filament, printer, beadWidthMm, leastBeadWidthMm } = settings
  const place = strength.weakPlaces[0]
  if (!place || !whole.limbs) return none('No limb was found that could break.')
  const limb = thinLimbAt(strength.frame, place, figure.base?.topMm ?? 0)
  if (!limb) return none('The weakest place is part of the trunk: there is nothing to take off.')
  if (limb.lengthMm < LEAST_LENGTH_MM)
    return none(`The weakest limb is only ${limb.lengthMm.toFixed(1)} mm long: a joint would be as weak.`)
  const [limbTriangles, restTriangles] = trianglesOf(figure, strength, limb)
  if (limbTriangles.length < 12 || restTriangles.length < 12)
    return none('The weakest limb could not be told apart from the rest of the surface.')
  const table = limbTable(strength, filament)
  const { curve } = whole.limbs
  const volumeMm3 = volumeOf(strength, limb, filament.densityGPerCm3)
  const bodyOf = (triangles: Uint32Array, isMine: (s: number) => boolean, volume: number): SearchBody => ({
    table: surfaceTable(figure.mesh, () => false, triangles),
    centre: figure.mass.centre,
    volumeMm3: volume,
    limbs: { table: limbsAt(table, isMine), curve },
  })
  const limbBody = bodyOf(limbTriangles, (s) => limb.isLimb[s] === 1, volumeMm3)
  const restBody = bodyOf(restTriangles, (s) => limb.isLimb[s] === 0, Math.max(0, whole.volumeMm3 - volumeMm3))
  const limbBest = await bestOf(limbBody, print, squareTo(limb.axis), 0.5, -1, task)
  const restBest = await bestOf(restBody, print, [[0, 0, 1]], 3, figure.base ? MOST_LEAN_COS : -1, task)

  const cosGiven = Math.abs(limb.axis[2])
  const cosHolder = Math.abs(
    limb.axis[0] * restBest.up[0] + limb.axis[1] * restBest.up[1] + limb.axis[2] * restBest.up[2],
  )
  const limits = { leastBeadMm: leastBeadWidthMm, beadMm: beadWidthMm, nozzleBoreMm: printer.nozzleBoreMm }
  const planes: CutPlane[] = []
  for (const end of limb.ends) {
    const thickMm = strength.frame.thickMm[end.station]
    const joint = chooseJoint(thickMm, end.holderMm, end.depthMm, cosGiven, cosHolder, filament, limits)
    if (!joint) continue
    const at: Direction = [0, 1, 2].map((c) => strength.frame.at[3 * end.station + c]) as unknown as Direction
    planes.push({ at, normal: end.normal, thickMm, joint, isThrough: end.isThrough })
  }
  if (planes.length === 0)
    return none(
      `The weakest limb is ${limb.thinnestMm.toFixed(1)} mm thick and what holds it leaves no room for a hole with a bead of ${leastBeadWidthMm} mm round it.`,
    )
  // The root of the limb bears the greatest moment: the joint there bears its share of what the limb bore as given.
  const givenLimbN = search.rows[STANCE_ROW.leastForce]
  const jointN = Math.max(...planes.map(({ joint }) => joint.strengthShare)) * givenLimbN
  const parts: [CutPart, CutPart] = [
    partOf('limb', volumeMm3, limbBest.up, limbBest.row),
    partOf('rest', restBody.volumeMm3, restBest.up, restBest.row),
  ]
  const forceAfterN = Math.min(parts[0].leastForceN, parts[1].leastForceN, jointN)
  const rival = rivalOf(search, forceAfterN, figure.base ? MOST_LEAN_COS : -1)
  const at = STANCE_COLUMNS * rival
  const wholeUp: Direction = [search.ups[3 * rival], search.ups[3 * rival + 1], search.ups[3 * rival + 2]]
  const wholePart = partOf('whole', whole.volumeMm3, wholeUp, search.rows.slice(at, at + STANCE_COLUMNS))
  if (!(forceAfterN >= LEAST_GAIN * givenLimbN))
    return none(
      `Cut and glued, the weakest place would bear ${forceAfterN.toFixed(2)} N, ${givenLimbN.toFixed(2)} N as given: not worth a joint.`,
    )
  const propsAfter = parts[0].propRoomMm3 + parts[1].propRoomMm3
  const isWeaker = wholePart.leastForceN < forceAfterN / 1.15
  if (!isWeaker && propsAfter > MUCH_LESS * wholePart.propRoomMm3 && parts[1].pryN < 2 * wholePart.pryN)
    return none(
      `In one piece ${wholePart.attitude} the weakest place bears as much (${wholePart.leastForceN.toFixed(2)} N) with no more to prop: a cut gains nothing.`,
    )
  return {
    advice: {
      planes,
      lengthMm: limb.lengthMm,
      thickMm: place.thickMm,
      whole: wholePart,
      parts,
      forceGivenN: givenLimbN,
      forceAfterN,
      words: wordsOf(
        planes,
        limb,
        place.thickMm,
        parts,
        wholePart,
        givenLimbN,
        forceAfterN,
        leastHoleMm(limits),
        recipeInForce(settings).beadWidthMm,
      ),
    },
    reason: null,
  }
}

/** The single stance that bears as much and asks least for props and hold; where none bears as much, the strongest. */
const rivalOf = ({ rows, ups, nStances }: StanceSearch, forceN: number, leastUp: number): number => {
  const value = (i: number, column: number): number => rows[STANCE_COLUMNS * i + column]
  let [best, score, strongest] = [-1, Infinity, 0]
  for (let i = 0; i < nStances; i++) {
    const force = value(i, STANCE_ROW.leastForce)
    if (ups[3 * i + 2] < leastUp) continue
    if (force > value(strongest, STANCE_ROW.leastForce)) strongest = i
    if (force < 0.95 * forceN) continue
    const asks = Math.log(1 + value(i, STANCE_ROW.propRoom) / 100) + Math.max(0, 1 - value(i, STANCE_ROW.pry))
    if (asks < score) [best, score] = [i, asks]
  }
  return best >= 0 ? best : strongest
}

const spot = ([x, y, z]: Direction): string => `x ${x.toFixed(1)}, y ${y.toFixed(1)}, z ${z.toFixed(1)} mm`

const wordsOf = (
  planes: readonly CutPlane[],
  limb: ThinLimb,
  thickMm: number,
  [part, rest]: readonly [CutPart, CutPart],
  whole: CutPart,
  before: number,
  after: number,
  leastHole: number,
  beadMm: number,
): string[] => [
  `Take off the limb of ${limb.lengthMm.toFixed(0)} mm that is ${thickMm.toFixed(1)} mm thick, print it ${part.attitude}, the rest ${rest.attitude}, and glue them.`,
  ...planes.map(
    ({ at, normal, joint, isThrough }) =>
      `Cut at ${spot(at)} square to (${normal.map((v) => v.toFixed(2)).join(', ')}): ${
        isThrough && joint.kind === 'peg'
          ? 'bore right through what holds it and let the limb pass, the bore'
          : joint.kind === 'peg'
            ? `leave ${joint.depthMm.toFixed(1)} mm of the limb as a peg for a socket`
            : `bore both sides ${joint.depthMm.toFixed(1)} mm deep for a steel pin of ${joint.pinMm} mm, the hole`
      } ${joint.holeMm.toFixed(1)} mm wide, ${joint.wallMm.toFixed(2)} mm (${joint.wallBeads.toFixed(1)} beads of ${beadMm} mm) of plastic round it${
        joint.holeMm < leastHole
          ? '; too narrow to be printed open: drill it'
          : '; open it by hand, small holes come out narrow'
      }.`,
  ),
  `The weakest place then bears ${after.toFixed(2)} N, ${before.toFixed(2)} N as given; in one piece it would have to be ${whole.attitude} to bear ${whole.leastForceN.toFixed(2)} N, on ${whole.contactMm2.toFixed(0)} mm2 of bed; cut, the rest stands on ${rest.contactMm2.toFixed(0)} mm2.`,
  `Together ${(part.minutes + rest.minutes).toFixed(0)} min against ${whole.minutes.toFixed(0)} min, room for props ${(part.propRoomMm3 + rest.propRoomMm3).toFixed(0)} against ${whole.propRoomMm3.toFixed(0)} mm3, by cheap measures.`,
  'The cut is for the sculpt: make it in the modelling program. Knife, drill and glue need the usual care; glue in fresh air.',
]
