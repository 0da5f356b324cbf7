// A bead plan as plain motion code. It carries no comments: whatever reads it must do with words and numbers.

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
}
const WRITE_DEFAULTS: WriteOptions = Object.freeze({
  filamentDiameterMm: 1.75,
  acceleration: null,
  cornerSpeed: null,
  flowShare: 1,
  originX: 0,
  originY: 0,
})

/** Shortest text of a number with at most so many decimals. */
const short = (value: number, decimals: number): string => {
  const text = value.toFixed(decimals)
  const cut = text.includes('.') ? text.replace(/\.?0+$/, '') : text
  return cut === '-0' ? '0' : cut
}

/** Writes the plan in laying order: absolute coordinates in mm, filament by increments. */
export const writeCode = (plan: BeadPlan, options: Partial<WriteOptions> = {}): string => {
  const { filamentDiameterMm, acceleration, cornerSpeed, flowShare, originX, originY } = {
    ...WRITE_DEFAULTS,
    ...options,
  }
  const filamentMm2 = filamentArea(filamentDiameterMm)
  const lines: string[] = ['G21', 'G90', 'M83']
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
    }
    isFirst = false
  }
  let beforeZ = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    warm(layer)
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      const from = plan.beadStart[b]
      const to = plan.beadStart[b + 1]
      const [x, y, z] = plan.points.subarray(3 * from, 3 * from + 3)
      const speed = plan.travelSpeed[b]
      const lift = b > 0 ? plan.lift[b] : 0
      const draw = b > 0 ? plan.retraction[b] : 0
      if (draw > 0) lines.push(`G1 E${short(-draw / flowShare, 5)}${at(plan.retractionSpeed[b])}`)
      const high = Math.max(beforeZ, z) + lift
      if (lift > 0 && b > 0) go(plan.points[3 * from - 3], plan.points[3 * from - 2], high, speed)
      for (let t = plan.travelStart[b]; t < plan.travelStart[b + 1]; t++)
        go(
          plan.travelPoints[3 * t],
          plan.travelPoints[3 * t + 1],
          lift > 0 ? high : plan.travelPoints[3 * t + 2],
          speed,
        )
      if (lift > 0) go(x, y, high, speed)
      go(x, y, z, speed)
      if (draw > 0) lines.push(`G1 E${short(draw / flowShare, 5)}${at(plan.retractionSpeed[b])}`)
      const isDeposit = to - from === 1 || plan.role[b] === roleIndex('point deposit')
      if (plan.dwell[b] > 0 && !isDeposit) lines.push(`G4 S${short(plan.dwell[b], 4)}`)
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
  lines.push('M107', 'M104 S0', 'M140 S0', 'M84', '')
  return lines.join('\n')
}

const pieceVolume = (plan: BeadPlan, b: number, i: number): number =>
  Math.hypot(
    plan.points[3 * i] - plan.points[3 * i - 3],
    plan.points[3 * i + 1] - plan.points[3 * i - 2],
    plan.points[3 * i + 2] - plan.points[3 * i - 1],
  ) * beadArea((plan.pointWidth[i] + plan.pointWidth[i - 1]) / 2, plan.height[b])
