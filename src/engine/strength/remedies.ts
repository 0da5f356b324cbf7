// What helps at a weak place, in numbers: a pin, a thicker limb, layers laid another way, more shells, a fillet.

import { infillShares, limitsAlong, type StrengthMaterial } from './material.ts'
import { notchOfStep } from './notch.ts'
import type { LimbFrame, StrengthRemedy, Stuffing, WeakPlace } from './types.ts'

/** Steel wire: modulus and yield, MPa, density; spring steel wire, EN 10270-1 class (from memory). */
const WIRE = { modulusMPa: 200_000, yieldMPa: 1200, densityGPerCm3: 7.85 }
/** Diameters of wire that shops sell, mm. */
const WIRE_MM = [0.5, 0.6, 0.8, 1, 1.2, 1.5, 2]
/** Plastic left round a bore, mm: one bead. */
const LEAST_WALL_MM = 0.35

/** A pin through a round section: share of moment at break over that without it, and of the travel. */
export const pinEffect = (
  thickMm: number,
  pinMm: number,
  plasticMPa: number,
  limitMPa: number,
): { readonly force: number; readonly travel: number } => {
  const whole = (Math.PI * thickMm ** 4) / 64
  const pin = (Math.PI * pinMm ** 4) / 64
  const stiffness = plasticMPa * (whole - pin) + WIRE.modulusMPa * pin
  const before = (limitMPa * whole) / (thickMm / 2)
  const plasticCurvature = limitMPa / plasticMPa / (thickMm / 2)
  const pinCurvature = WIRE.yieldMPa / WIRE.modulusMPa / (pinMm / 2)
  // The plastic cracks round the pin first; the place is lost only when the pin is bent for good as well.
  const cracked = plasticCurvature * stiffness
  const bentPin = pinCurvature * WIRE.modulusMPa * pin
  const stillWhole = Math.min(plasticCurvature, pinCurvature) * stiffness
  const force = Math.max(bentPin, Math.min(cracked, stillWhole))
  return {
    force: force / before,
    travel: (force === bentPin ? pinCurvature : Math.min(plasticCurvature, pinCurvature)) / plasticCurvature,
  }
}

/** Remedies for one weak place. */
export const strengthRemedies = (
  place: WeakPlace,
  frame: LimbFrame,
  material: StrengthMaterial,
  layerNormal: readonly [number, number, number],
  weld: number,
  stuffing: Stuffing | null,
  coreShare: number,
): StrengthRemedy[] => {
  const { station, thickMm, leverMm } = place
  const a = [0, 1, 2].map((c) => frame.along[3 * station + c])
  const cos = a[0] * layerNormal[0] + a[1] * layerNormal[1] + a[2] * layerNormal[2]
  const here = limitsAlong(material, cos, weld)
  const forceBeforeN = place.forceN.value
  const travelBeforeMm = place.travelMm.value
  const lengthMm = Math.max(leverMm, frame.branches[place.branch].lengthMm, thickMm)
  const out: StrengthRemedy[] = []
  const add = (
    id: StrengthRemedy['id'],
    label: string,
    amount: number,
    force: number,
    travel: number,
    addedG: number,
    note: string,
  ): void => {
    out.push({
      id,
      label,
      amount,
      forceBeforeN,
      forceAfterN: forceBeforeN * force,
      travelBeforeMm,
      travelAfterMm: travelBeforeMm * travel,
      addedG,
      note,
    })
  }
  const wire = WIRE_MM.filter((d) => d <= thickMm - 2 * LEAST_WALL_MM + 0.02).at(-1)
  if (wire) {
    const { force, travel } = pinEffect(thickMm, wire, here.modulusMPa, here.tensionMPa)
    const grams = ((Math.PI * wire * wire) / 4) * lengthMm * (WIRE.densityGPerCm3 / 1000)
    add(
      'pin',
      `set a ${wire} mm steel pin through it`,
      wire,
      force,
      travel,
      grams,
      `bore ${wire} mm, ${((thickMm - wire) / 2).toFixed(2)} mm of plastic left round it`,
    )
  }
  for (const more of [0.2, 0.4]) {
    const ratio = (thickMm + more) / thickMm
    const grams = (Math.PI / 4) * ((thickMm + more) ** 2 - thickMm ** 2) * lengthMm * (material.densityGPerCm3 / 1000)
    add(
      'thicker',
      `make it ${more} mm thicker`,
      more,
      ratio ** 3,
      1 / ratio,
      grams,
      'force goes with the cube of the thickness; a thicker limb breaks at less travel',
    )
  }
  for (const tilt of [45, 90]) {
    const other = limitsAlong(material, Math.cos((tilt * Math.PI) / 180), weld)
    const force = other.tensionMPa / here.tensionMPa
    if (force <= 1.02) continue
    add(
      'stance',
      tilt === 90 ? 'lay this limb flat on the bed' : 'lean this limb by 45 degrees',
      tilt,
      force,
      force * (here.modulusMPa / other.modulusMPa),
      0,
      'angle between the limb and the layers; the rest of the figure turns with it',
    )
  }
  if (stuffing) {
    const inside = coreShare
    // A core of the section's own shape and share takes its square from the second moment, as far as infill is softer.
    const pitch = stuffing.beadWidthMm - stuffing.layerHeightMm * (1 - Math.PI / 4)
    const softer = 1 - infillShares(stuffing.infillShare).within
    const next = Math.max(0, Math.sqrt(inside) - (2 * pitch) / thickMm) ** 2
    const gain = (1 - next * next * softer) / (1 - inside * inside * softer)
    add(
      'more shells',
      `lay ${stuffing.nShells + 1} shells`,
      stuffing.nShells + 1,
      gain,
      1,
      0,
      inside > 0
        ? `${Math.round(100 * inside)} of 100 of the section is infill`
        : 'shells already fill this place: more of them, or more infill, change nothing here',
    )
  }
  if (frame.notch[station] > 1.1) {
    const radius = 0.25 * thickMm
    const smooth = notchOfStep(4 * thickMm, thickMm, radius)
    const gain = frame.notch[station] / smooth
    if (gain > 1.02)
      add(
        'fillet',
        `round the corner with ${radius.toFixed(1)} mm`,
        radius,
        gain,
        gain,
        0,
        'counts for falls and for brittle plastic; slow bending yields round the corner',
      )
  }
  return out
}
