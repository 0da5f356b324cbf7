// One trial on the computer: a figure examined with a recipe, boiled down to the few numbers by which recipes are compared.
//
// Shape is one volume: what the printed figure has too much or lacks, mm3. Steps are the stair-step integral, a quarter of the layer
// height over the projected surface (Dolenc and Maekelae 1994); the rest is what the rooms weigh. Soft plastic and threads count by the
// shares below, from memory. Limits: one sum for all places; a face counts no more than a hem.

import type { Examination } from '../engine/examine/index.ts'
import type { Severity } from '../engine/findings/index.ts'
import type { TrialNumbers } from './types.ts'

/** Share of plastic laid on soft plastic that ends up out of place; volume of one thread, mm3. From memory. */
const SOFT_SHARE = 0.05
const THREAD_MM3 = 0.002

/** Rules whose gravest findings are about the hand and the floor, not about the print itself: strength counts those. */
export const ABOUT_STRENGTH = ['snaps', 'breaks-in-falls', 'thin-limb']

/** Sum of triangle areas projected onto the bed, mm2, of everything that does not lie on it. */
export const projectedMm2 = ({ figure }: Pick<Examination, 'figure'>): number => {
  const { positions, triangles } = figure.mesh
  let sum = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const ux = positions[b] - positions[a]
    const uy = positions[b + 1] - positions[a + 1]
    const vx = positions[c] - positions[a]
    const vy = positions[c + 1] - positions[a + 1]
    const isOnBed = Math.max(positions[a + 2], positions[b + 2], positions[c + 2]) < 1e-3
    if (!isOnBed) sum += Math.abs(ux * vy - uy * vx) / 2
  }
  return sum
}

/** Volume of the pieces that land on plastic above its lower softening temperature, mm3. */
const softMm3 = ({ heat, layers, print }: Examination): number => {
  if (!heat || !print) return 0
  const { softeningFromC, softeningToC } = print.filament
  let sum = 0
  const { topC, decidingWidthMm, nLayers } = heat.quick
  for (let k = 0; k < nLayers; k++) {
    // Layers that the bed keeps warm have no deciding piece.
    if (!(topC[k] > softeningFromC) || !(decidingWidthMm[k] > 0)) continue
    const softness = Math.min(1, (topC[k] - softeningFromC) / Math.max(1, softeningToC - softeningFromC))
    sum += softness * (Math.PI / 4) * decidingWidthMm[k] ** 2 * (layers.faceZ[k + 1] - layers.faceZ[k])
  }
  return sum
}

/** The numbers of one examination that has beads and strength; null for a quick one. */
export const trialNumbers = (examination: Examination): TrialNumbers | null => {
  const { print, strength, findings, vanishing, settings } = examination
  if (!print || !strength) return null
  const failing = findings.filter(({ severity, rule }) => severity === 'breaks' && !ABOUT_STRENGTH.includes(rule))
  const stepsMm3 = (settings.layerHeightMm / 4) * projectedMm2(examination)
  const lostMm3 = vanishing.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0)
  const { overflowMm3, gapMm3 } = print.balance.totals
  const threads = print.strings.layerThreads.reduce((a, b) => a + b, 0)
  const threadsMm3 = THREAD_MM3 * threads
  const onSoftMm3 = SOFT_SHARE * softMm3(examination)
  const counts: Record<Severity, number> = { breaks: 0, marks: 0, costs: 0, note: 0 }
  for (const { severity } of findings) counts[severity]++
  return {
    fails: failing.length,
    failing: failing.map(({ title }) => title),
    fallsBroken: strength.drop.breakShare.value,
    halfBreakM: strength.drop.halfBreakHeightM,
    leastForceN: strength.weakPlaces.reduce((least, { forceN }) => Math.min(least, forceN.value), Infinity),
    shapeMm3: stepsMm3 + lostMm3 + overflowMm3 + gapMm3 + threadsMm3 + onSoftMm3,
    shape: { stepsMm3, lostMm3, surplusMm3: overflowMm3, gapsMm3: gapMm3, threadsMm3, onSoftMm3 },
    threads,
    printS: print.timeline.totals.printS,
    massG: print.report.massG,
    findings: counts,
  }
}
