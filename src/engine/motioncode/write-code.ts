// A bead plan as plain motion code. Comments are for people: whatever reads it must do with words and numbers.

import { type BeadPlan, beadArea, filamentArea, roleIndex } from '../beads/index.ts'

export interface WriteOptions {
  readonly filamentDiameterMm: number
  /** mm/s2 and mm/s; null leaves them to the machine. */
  readonly acceleration: number | null
  readonly cornerSpeed: number | null
  /** Written as its own word, so that widths keep their nominal values. It holds for all filament moves, retraction among them. */
  readonly flowShare: number
  /** Where the plan's origin comes to lie on the bed, mm. */
  readonly originX: number
  readonly originY: number
  /** Lines of comment before everything else, and before single beads: plain words without brackets. */
  readonly head: readonly string[]
  readonly remarks: ReadonlyMap<number, string>
  /** Height to rise to right after homing, mm; null for none. */
  readonly riseAfterHomeMm: number | null
  /** Waits on the way to single beads, at one of the travel's points: for the nozzle's heat, then for the bead's own dwell. */
  readonly pauses: ReadonlyMap<number, CodePause>
  /** Where the nozzle goes when all is laid, and how much filament it draws back first; null stays where it is. */
  readonly leaveTo: { readonly x: number; readonly y: number; readonly z: number; readonly retractionMm: number } | null
}
/** A wait on the way to a bead. */
export interface CodePause {
  readonly point: number
  /** deg C to wait for, null for none; the word differs when the nozzle has to cool down. */
  readonly nozzleC: number | null
  readonly cooling: boolean
}
const WRITE_DEFAULTS: WriteOptions = Object.freeze({
  filamentDiameterMm: 1.75,
  acceleration: null,
  cornerSpeed: null,
  flowShare: 1,
  originX: 0,
  originY: 0,
  head: [],
  remarks: new Map(),
  riseAfterHomeMm: null,
  pauses: new Map(),
  leaveTo: null,
})

/** Speeds of the moves around the plan, mm/s: slow enough for any machine. */
const RISE_MM_PER_S = 10
const RETRACT_MM_PER_S = 25
const LEAVE_MM_PER_S = 50

/** Shortest text of a number with at most so many decimals. */
const short = (value: number, decimals: number): string => {
  const text = value.toFixed(decimals)
  const cut = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return cut === '-0' ? '0' : cut
}

/** A comment as the standard has it: no brackets inside, printable letters only, short enough for any line. */
const comment = (text: string): string =>
  `(${text
    .replace(/[()]/g, ' ')
    .replace(/[^ -~]/g, '?')
    .slice(0, 200)})`

/** Writes the plan in laying order: absolute coordinates in mm, filament by increments. */
export const writeCode = (plan: BeadPlan, options: Partial<WriteOptions> = {}): string => {
  const settings = { ...WRITE_DEFAULTS, ...options }
  const { filamentDiameterMm, acceleration, cornerSpeed, flowShare, originX, originY, pauses, leaveTo } = settings
  const filamentMm2 = filamentArea(filamentDiameterMm)
  const lines: string[] = [...settings.head.map(comment), 'G21', 'G90', 'M83']
  let feed = ''
  let placeX = ''
  let placeY = ''
  let placeZ = ''
  // Rounding of filament lengths is carried on, so that the sum stays right.
  let owed = 0
  const place = (x: number, y: number, z: number): string => {
    const nextX = short(x + originX, 4)
    const nextY = short(y + originY, 4)
    const nextZ = short(z, 4)
    const words =
      (nextX === placeX ? '' : ` X${nextX}`) +
      (nextY === placeY ? '' : ` Y${nextY}`) +
      (nextZ === placeZ ? '' : ` Z${nextZ}`)
    placeX = nextX
    placeY = nextY
    placeZ = nextZ
    return words
  }
  const at = (speed: number): string => {
    const words = ` F${short(60 * speed, 3)}`
    if (words === feed) return ''
    feed = words
    return words
  }
  const go = (x: number, y: number, z: number, speed: number): void => {
    const words = place(x, y, z)
    if (words !== '') lines.push(`G0${words}${at(speed)}`)
  }
  const push = (mm: number): string => {
    const text = short(mm + owed, 5)
    owed += mm - Number(text)
    return ` E${text}`
  }
  if (acceleration !== null) lines.push(`M204 P${short(acceleration, 1)} T${short(acceleration, 1)}`)
  if (cornerSpeed !== null) lines.push(`M205 X${short(cornerSpeed, 3)} Y${short(cornerSpeed, 3)}`)
  let nozzle = Number.NaN
  let bed = Number.NaN
  let fan = 0
  let isFirst = true
  const warm = (layer: number): void => {
    const bedC = plan.bedC[layer]
    const nozzleC = plan.nozzleC[layer]
    const newBed = !Number.isNaN(bedC) && bedC !== bed
    const newNozzle = !Number.isNaN(nozzleC) && nozzleC !== nozzle
    if (newBed) lines.push(`M140 S${short(bedC, 1)}`)
    if (newNozzle) lines.push(`M104 S${short(nozzleC, 1)}`)
    // Only the first layer waits for its heat.
    if (isFirst && newBed) lines.push(`M190 S${short(bedC, 1)}`)
    if (isFirst && newNozzle) lines.push(`M109 S${short(nozzleC, 1)}`)
    if (newBed) bed = bedC
    if (newNozzle) nozzle = nozzleC
    const share = plan.fanShare[layer]
    if (share !== fan) lines.push(share > 0 ? `M106 S${short(255 * share, 0)}` : 'M107')
    fan = share
    if (isFirst) {
      lines.push('G28', 'G92 E0')
      if (flowShare !== 1) lines.push(`M221 S${short(100 * flowShare, 3)}`)
      if (settings.riseAfterHomeMm !== null) lines.push(`G0 Z${short(settings.riseAfterHomeMm, 4)}${at(RISE_MM_PER_S)}`)
    }
    isFirst = false
  }
  /** Waits where the nozzle stands: for its heat, then by time. */
  const wait = ({ nozzleC, cooling }: CodePause, dwellS: number): void => {
    if (nozzleC !== null) lines.push(`M109 ${cooling ? 'R' : 'S'}${short(nozzleC, 1)}`)
    if (dwellS > 0) lines.push(`G4 S${short(dwellS, 4)}`)
  }
  let beforeZ = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    warm(layer)
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      const from = plan.beadStart[b]
      const to = plan.beadStart[b + 1]
      const remark = settings.remarks.get(b)
      if (remark !== undefined) lines.push(comment(remark))
      const pause = pauses.get(b)
      const [x, y, z] = plan.points.subarray(3 * from, 3 * from + 3)
      const speed = plan.travelSpeed[b]
      const lift = b > 0 ? plan.lift[b] : 0
      const draw = b > 0 ? plan.retraction[b] : 0
      if (draw > 0) lines.push(`G1 E${short(-draw / flowShare, 5)}${at(plan.retractionSpeed[b])}`)
      const high = Math.max(beforeZ, z) + lift
      if (lift > 0 && b > 0) go(plan.points[3 * from - 3], plan.points[3 * from - 2], high, speed)
      for (let t = plan.travelStart[b]; t < plan.travelStart[b + 1]; t++) {
        go(
          plan.travelPoints[3 * t],
          plan.travelPoints[3 * t + 1],
          lift > 0 ? high : plan.travelPoints[3 * t + 2],
          speed,
        )
        if (pause && t - plan.travelStart[b] === pause.point) wait(pause, plan.dwell[b])
      }
      if (lift > 0) go(x, y, high, speed)
      go(x, y, z, speed)
      if (draw > 0) lines.push(`G1 E${short(draw / flowShare, 5)}${at(plan.retractionSpeed[b])}`)
      const isDeposit = to - from === 1 || plan.role[b] === roleIndex('point deposit')
      if (plan.dwell[b] > 0 && !isDeposit && !pause) lines.push(`G4 S${short(plan.dwell[b], 4)}`)
      const filament = plan.volume[b] / filamentMm2 / flowShare
      if (isDeposit) {
        // The wait of a deposit is the time in which it is pushed out.
        const flow =
          plan.dwell[b] > 0 ? plan.volume[b] / plan.dwell[b] : plan.speed[b] * beadArea(plan.width[b], plan.height[b])
        lines.push(`G1${push(filament)}${at(flow / filamentMm2)}`)
      } else {
        let total = 0
        for (let i = from + 1; i < to; i++) total += pieceVolume(plan, b, i)
        const per = total > 0 ? filament / total : 0
        for (let i = from + 1; i < to; i++) {
          const mm = pieceVolume(plan, b, i) * per
          // A piece whose plastic rounds to nothing is joined to the next.
          if (i < to - 1 && mm + owed < 1e-5) {
            owed += mm
            continue
          }
          const words = place(plan.points[3 * i], plan.points[3 * i + 1], plan.points[3 * i + 2])
          if (words === '') owed += mm
          else lines.push(`G1${words}${push(mm)}${at(plan.speed[b])}`)
        }
      }
      beforeZ = plan.points[3 * to - 1]
    }
  }
  if (leaveTo) {
    if (leaveTo.retractionMm > 0)
      lines.push(`G1 E${short(-leaveTo.retractionMm / flowShare, 5)}${at(RETRACT_MM_PER_S)}`)
    lines.push(`G0 Z${short(leaveTo.z, 4)}${at(RISE_MM_PER_S)}`)
    lines.push(`G0 X${short(leaveTo.x + originX, 4)} Y${short(leaveTo.y + originY, 4)}${at(LEAVE_MM_PER_S)}`)
  }
  lines.push('M107', 'M104 S0', 'M140 S0', 'M84', '')
  return lines.join('\n')
}

const pieceVolume = (plan: BeadPlan, b: number, i: number): number =>
  Math.hypot(
    plan.points[3 * i] - plan.points[3 * i - 3],
    plan.points[3 * i + 1] - plan.points[3 * i - 2],
    plan.points[3 * i + 2] - plan.points[3 * i - 1],
  ) * beadArea((plan.pointWidth[i] + plan.pointWidth[i - 1]) / 2, plan.height[b])
