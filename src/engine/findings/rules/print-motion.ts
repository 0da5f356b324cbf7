// What motion and feed bring: speeds that are never reached, short layers, threads, chewed filament, melt and machine limits.

import { roleIndex } from '../../beads/index.ts'
import { STRING_CAUSES } from '../../melt/index.ts'
import type { PrintResults, RoomResults } from '../results.ts'
import { findingId, mm, present, type Rule, remedy } from '../rule.ts'
import type { Finding } from '../types.ts'

const place = ({ layers, figure }: RoomResults, from: number, to: number): Finding['place'] => ({
  fromMm: layers.faceZ[from],
  toMm: layers.faceZ[to + 1] ?? figure.max[2],
  point: [0, 0, layers.cutZ[from]],
  areaMm2: 0,
  fromLayer: from,
  toLayer: to,
})

/** Length of the outer shells, and the part of it laid below its set speed. */
const outerShells = ({ plan, timeline }: PrintResults): { length: number; below: number } => {
  const outer = roleIndex('outer shell')
  let length = 0
  let below = 0
  for (let b = 0; b < plan.nBeads; b++) {
    if (plan.role[b] !== outer) continue
    let own = 0
    for (let i = plan.beadStart[b] + 1; i < plan.beadStart[b + 1]; i++) {
      own += Math.hypot(plan.points[3 * i] - plan.points[3 * i - 3], plan.points[3 * i + 1] - plan.points[3 * i - 2])
    }
    length += own
    below += own * timeline.belowSetShare[b]
  }
  return { length, below }
}

export const speedNotReached: Rule = {
  id: 'speed-not-reached',
  about: 'Outer shells that are laid slower than their set speed over most of their length.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { length, below } = outerShells(print)
    const share = length > 0 ? below / length : 0
    if (share < 0.5) return []
    const typed = print.timeline.layerTypedS.reduce((a, b) => a + b, 0)
    return [
      {
        id: 'speed-not-reached',
        rule: 'speed-not-reached',
        severity: 'note',
        title: `${Math.round(share * 100)} % of the outer shell is laid slower than the typed ${print.recipe.outerShellSpeedMmPerS} mm/s`,
        place: place(results, 0, layers.nLayers - 1),
        evidence: [
          { label: 'share below the set speed', value: share * 100, unit: '%' },
          { label: 'time at typed speeds', value: typed / 60, unit: 'min' },
          { label: 'real time', value: print.timeline.totals.printS / 60, unit: 'min' },
        ],
        certainty: { share: 0.85, cause: 'follows from acceleration, corner speed and least layer time as given' },
        why: `On small outlines the machine accelerates at ${print.recipe.accelerationMmPerS2} mm/s2 from corner to corner and slows short layers down; the typed speed is a ceiling, not the speed. Trapezoid moves with full look-ahead.`,
        remedies: [],
      },
    ]
  },
}

export const cornersTooFast: Rule = {
  id: 'corners-too-fast',
  about: 'A corner speed at or above the print speed: nothing is slowed in corners at all.',
  look: (results) => {
    const { print, layers } = results
    if (!print || print.recipe.cornerSpeedMmPerS < print.recipe.outerShellSpeedMmPerS) return []
    const to = Math.min(5, print.recipe.outerShellSpeedMmPerS / 2)
    return [
      {
        id: 'corners-too-fast',
        rule: 'corners-too-fast',
        severity: 'marks',
        title: `The corner speed of ${print.recipe.cornerSpeedMmPerS} mm/s is not below the outer shell's ${print.recipe.outerShellSpeedMmPerS} mm/s`,
        place: place(results, 0, layers.nLayers - 1),
        evidence: [
          {
            label: 'corner speed',
            value: print.recipe.cornerSpeedMmPerS,
            unit: 'mm/s',
            limit: print.recipe.outerShellSpeedMmPerS,
          },
        ],
        certainty: { share: 0.9, cause: 'common practice, no source: about 5 mm/s, always below the print speed' },
        why: 'At such a corner speed the machine changes direction at full speed at once; the shock shows as ripples beside every edge. Common practice, no source.',
        remedies: [
          remedy(
            'corner',
            `lower the corner speed to ${to} mm/s`,
            'cornerSpeedMmPerS',
            print.recipe.cornerSpeedMmPerS,
            to,
          ),
        ],
      },
    ]
  },
  measure: ({ print }) => ({ label: 'corner speed', value: print?.recipe.cornerSpeedMmPerS ?? 0, unit: 'mm/s' }),
}

export const shortLayers: Rule = {
  id: 'short-layers',
  about: 'Layers that stay shorter than the least layer time although they were slowed down.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { timeline, recipe } = print
    let n = 0
    let shortest = 0
    let from = -1
    let to = 0
    for (let k = 0; k < timeline.layerRealS.length; k++) {
      if (!(timeline.layerRealS[k] > 0 && timeline.layerRealS[k] < recipe.leastLayerTimeS - 0.05)) continue
      if (from < 0) {
        from = k
        shortest = k
      }
      if (timeline.layerRealS[k] < timeline.layerRealS[shortest]) shortest = k
      to = k
      n++
    }
    if (n < 3) return []
    const missing = Array.from(timeline.layerRealS).reduce(
      (sum, s) => sum + (s > 0 ? Math.max(0, recipe.leastLayerTimeS - s) : 0),
      0,
    )
    return [
      {
        id: findingId('short-layers', layers.faceZ[from], 0, 0),
        rule: 'short-layers',
        severity: 'marks',
        title: `${n} layers take less than the least layer time of ${recipe.leastLayerTimeS} s, the shortest ${timeline.layerRealS[shortest].toFixed(1)} s`,
        place: { ...place(results, from, to), point: [0, 0, layers.cutZ[shortest]] },
        evidence: [
          { label: 'layers', value: n, unit: '' },
          { label: 'shortest layer', value: timeline.layerRealS[shortest], unit: 's', limit: recipe.leastLayerTimeS },
          { label: 'time that waiting would add', value: missing / 60, unit: 'min' },
        ],
        certainty: {
          share: 0.8,
          cause: 'the least layer time is a rule of thumb; what the heat needs differs from figure to figure',
        },
        why: `Slowing down stops at ${recipe.leastSpeedMmPerS} mm/s (very slow outer shells look worse), so these layers return to plastic that had less time to set. Print something else beside it, or let the nozzle wait away from the figure. Common practice, no source.`,
        remedies: recipe.waitForLayerTime
          ? []
          : [remedy('wait', 'let the nozzle wait beside the figure', 'waitForLayerTime', 0, 1)],
      },
    ]
  },
  measure: ({ print }) => {
    let least = Infinity
    for (const s of print?.timeline.layerRealS ?? []) if (s > 0 && s < least) least = s
    return { label: 'shortest layer', value: Number.isFinite(least) ? least : 0, unit: 's' }
  },
}

/** Ratio and difference of two neighbouring layers' times from which the change shows as a band. From memory. */
const JUMP_RATIO = 2.5
const JUMP_S = 8

export const layerTimeJumps: Rule = {
  id: 'layer-time-jumps',
  about: 'Neighbouring layers whose times differ so much that the change shows as a band.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { layerRealS } = print.timeline
    const jumps: number[] = []
    for (let k = 2; k < layerRealS.length; k++) {
      const a = layerRealS[k - 1]
      const b = layerRealS[k]
      if (!(a > 0 && b > 0)) continue
      if (Math.max(a, b) / Math.min(a, b) >= JUMP_RATIO && Math.abs(a - b) >= JUMP_S) jumps.push(k)
    }
    if (jumps.length === 0) return []
    const size = (k: number): number => Math.abs(layerRealS[k] - layerRealS[k - 1])
    const worst = jumps.reduce((a, b) => (size(b) > size(a) ? b : a))
    return [
      {
        id: findingId('layer-time-jumps', layers.faceZ[worst], 0, 0),
        rule: 'layer-time-jumps',
        severity: 'note',
        title: `The layer time jumps from ${layerRealS[worst - 1].toFixed(0)} to ${layerRealS[worst].toFixed(0)} s at ${mm(layers.faceZ[worst], 1)}${jumps.length > 1 ? `; ${jumps.length - 1} smaller jumps` : ''}`,
        place: place(results, worst - 1, worst),
        evidence: [
          { label: 'layer before', value: layerRealS[worst - 1], unit: 's' },
          { label: 'layer after', value: layerRealS[worst], unit: 's' },
          { label: 'jumps', value: jumps.length, unit: '' },
        ],
        certainty: { share: 0.5, cause: 'how much a change of cooling time shows depends on plastic and colour' },
        why: 'Where a wide base ends under thin legs, the plastic below suddenly has far less time to set; gloss and width of the beads change from one layer to the next. Common practice, no source.',
        remedies: [],
      },
    ]
  },
}

export const threads: Rule = {
  id: 'threads',
  about: 'Travels over open air that leave a thread.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { strings, recipe } = print
    const byCause = new Uint32Array(STRING_CAUSES.length)
    let n = 0
    let worst = -1
    let from = layers.nLayers
    let to = 0
    for (let s = 0; s < strings.nCrossings; s++) {
      const cause = strings.cause[s]
      if (cause === 0) continue
      n++
      byCause[cause]++
      from = Math.min(from, strings.layer[s])
      to = Math.max(to, strings.layer[s])
      if (worst < 0 || strings.airMm[s] > strings.airMm[worst]) worst = s
    }
    if (n < 5) return []
    const cause = byCause[1] >= byCause[2] ? 1 : 2
    const x = (strings.at[4 * worst] + strings.at[4 * worst + 2]) / 2
    const y = (strings.at[4 * worst + 1] + strings.at[4 * worst + 3]) / 2
    const most = print.gear.withOtherLengths.filter((o) => o.chewedMm <= 0 && o.retractionMm > recipe.retractionMm)
    return [
      {
        id: findingId('threads', layers.faceZ[from], 0, 0),
        rule: 'threads',
        severity: 'marks',
        title: `${n} travels over open air leave a thread, mostly by ${STRING_CAUSES[cause]}`,
        place: { ...place(results, from, to), point: [x, y, layers.cutZ[strings.layer[worst]]] },
        evidence: [
          { label: 'travels over air', value: strings.nCrossings, unit: '' },
          { label: 'threads', value: n, unit: '', limit: 5 },
          { label: 'by surplus outside the nozzle', value: byCause[1], unit: '' },
          { label: 'by pressure inside it', value: byCause[2], unit: '' },
          { label: 'longest over air', value: strings.airMm[worst], unit: 'mm' },
        ],
        certainty: { share: 0.5, cause: 'time constant of the pressure and play of the feed tube are from memory' },
        why: 'The nozzle drags what stands under it at the end of a bead, and pressure left inside pushes out more while it travels; a crossing with enough volume for a visible thread counts. Exponential decay of the stored pressure; retraction first takes up the play of the tube.',
        remedies: present([
          cause === 2 && most.length > 0
            ? remedy(
                'retract',
                `draw back ${most[0].retractionMm} mm`,
                'retractionMm',
                recipe.retractionMm,
                most[0].retractionMm,
              )
            : null,
          recipe.flowShare > 0.96
            ? remedy('flow', 'lower the flow to 95 %', 'flowShare', recipe.flowShare, 0.95)
            : null,
        ]),
      },
    ]
  },
  measure: ({ print }) => ({
    label: 'threads',
    value: print ? print.strings.layerThreads.reduce((a, b) => a + b, 0) : 0,
    unit: '',
  }),
}

/** Length of chewed filament, in all, from which a print is at risk. From memory. */
const CHEWED_BREAKS_MM = 100

export const chewed: Rule = {
  id: 'chewed-filament',
  about: 'Filament that passes the feed gear more often than the card allows.',
  look: (results) => {
    const { print, layers } = results
    if (!print || print.gear.chewedMm <= 0) return []
    const { gear, recipe } = print
    const better = [...gear.withOtherLengths]
      .reverse()
      .find((o) => o.retractionMm < recipe.retractionMm && o.chewedMm <= 0)
    let worst = 0
    for (let k = 0; k < gear.layerMost.length; k++) if (gear.layerMost[k] > gear.layerMost[worst]) worst = k
    const other = gear.withOtherLengths.find((o) => o.retractionMm === 9)
    return [
      {
        id: findingId('chewed-filament', layers.faceZ[worst], 0, 0),
        rule: 'chewed-filament',
        // A short chewed stretch slips and catches again; a long one starves the print.
        severity: gear.chewedMm > CHEWED_BREAKS_MM ? 'breaks' : 'marks',
        title: `The feed gear passes one piece of filament ${gear.most} times, more than ${gear.mostAllowed}`,
        place: place(results, worst, worst),
        evidence: [
          { label: 'most passes', value: gear.most, unit: '', limit: gear.mostAllowed },
          { label: 'filament over the limit', value: gear.chewedMm, unit: 'mm' },
          { label: 'retractions', value: gear.nRetractions, unit: '' },
          ...(other ? [{ label: 'most passes with 9 mm', value: other.most, unit: '' }] : []),
        ],
        certainty: {
          share: 0.4,
          cause: 'the count that a filament bears is from memory and differs from spool to spool',
        },
        why: `Each retraction of ${mm(recipe.retractionMm, 1)} sends the filament back under the gear; where little is used between two of them the same piece goes back and forth, loses its round shape and is no longer gripped. A longer retraction overlaps more of the ones before.`,
        remedies: present([
          better
            ? remedy(
                'retract',
                `draw back only ${better.retractionMm} mm`,
                'retractionMm',
                recipe.retractionMm,
                better.retractionMm,
              )
            : null,
          recipe.leastTravelToRetractMm < 5
            ? remedy(
                'fewer',
                'draw back only before travels of 5 mm or more',
                'leastTravelToRetractMm',
                recipe.leastTravelToRetractMm,
                5,
              )
            : null,
        ]),
      },
    ]
  },
  measure: ({ print }) => ({ label: 'most gear passes', value: print?.gear.most ?? 0, unit: '' }),
}

export const overMeltLimit: Rule = {
  id: 'over-melt-limit',
  about: 'Beads that ask for more plastic a second than can be melted.',
  look: (results) => {
    const { print } = results
    if (!print || print.limit.nBeadsOver === 0) return []
    const { limit, plan } = print
    let worst = 0
    for (let k = 0; k < limit.layerShare.length; k++) if (limit.layerShare[k] > limit.layerShare[worst]) worst = k
    const allowed = Math.min(limit.conductionMm3PerS, limit.cardMm3PerS)
    const to = Math.floor(print.recipe.speedMmPerS / limit.layerShare[worst])
    return [
      {
        id: 'over-melt-limit',
        rule: 'over-melt-limit',
        severity: 'breaks',
        title: `${limit.nBeadsOver} beads ask for up to ${limit.layerMost[worst].toFixed(1)} mm3/s; ${allowed.toFixed(1)} can be melted`,
        place: place(results, worst, worst),
        evidence: [
          { label: 'highest rate', value: limit.layerMost[worst], unit: 'mm3/s', limit: allowed },
          { label: 'limit by conduction', value: limit.conductionMm3PerS, unit: 'mm3/s' },
          { label: 'limit of the card', value: limit.cardMm3PerS, unit: 'mm3/s' },
          { label: 'beads over it', value: limit.nBeadsOver, unit: '' },
          { label: 'beads', value: plan.nBeads, unit: '' },
        ],
        certainty: { share: 0.7, cause: 'shear heating and the grip of the feed gear are left out' },
        why: 'The core of the filament must get warm while it stays in the melt zone: a round bar with its surface at nozzle temperature is warm at a Fourier number of 0.2.',
        remedies:
          to >= 5 && to < print.recipe.speedMmPerS
            ? [remedy('slower', `lower the speed to ${to} mm/s`, 'speedMmPerS', print.recipe.speedMmPerS, to)]
            : [],
      },
    ]
  },
  measure: ({ print }) => ({ label: 'beads over the limit', value: print?.limit.nBeadsOver ?? 0, unit: '' }),
}

export const doesNotFit: Rule = {
  id: 'does-not-fit',
  about: 'Beads that reach beyond the bed or the height of the machine.',
  look: (results) => {
    const { print, layers } = results
    if (!print || (print.fit.fitsBed && print.fit.fitsHeight)) return []
    const { fit, printer } = print
    return [
      {
        id: 'does-not-fit',
        rule: 'does-not-fit',
        severity: 'breaks',
        title: fit.fitsBed
          ? `At ${mm(fit.heightMm, 0)} it is taller than the machine prints`
          : `At ${mm(fit.widthMm, 0)} by ${mm(fit.depthMm, 0)} it does not fit the bed`,
        place: place(results, 0, layers.nLayers - 1),
        evidence: [
          { label: 'width', value: fit.widthMm, unit: 'mm', limit: printer.bedXMm },
          { label: 'depth', value: fit.depthMm, unit: 'mm', limit: printer.bedYMm },
          { label: 'height', value: fit.heightMm, unit: 'mm', limit: printer.tallestMm },
        ],
        certainty: { share: 0.98, cause: 'measured against the printer card' },
        why: 'Priming loops and props count. Turn the figure about the vertical, scale it down or cut it.',
        remedies: [],
      },
    ]
  },
}
