// A rounded place pressed on a floor: Hertz while elastic, denting at a constant pressure, unloading along a flatter curve.
//
// Johnson, Contact Mechanics, 4.2 (elastic), 6.3 (full plasticity at about three times the yield stress); Thornton, J. Appl. Mech.
// 64:383-386 (1997) for the elastic, perfectly plastic contact with its unloading. Without a yield pressure it is Hertz: an upper bound.

/** What presses. */
export interface ContactSpot {
  /** Radius of curvature of the place, mm. */
  readonly radiusMm: number
  /** Effective modulus of both bodies, MPa. */
  readonly contactMPa: number
  /** Pressure at which it dents, MPa; infinite: never. */
  readonly dentMPa: number
}

/** A contact with its memory of dents. */
export class Contact {
  private readonly elastic: number
  private readonly yieldMm: number
  private readonly yieldN: number
  private readonly perMm: number
  private greatestMm = 0
  private greatestN = 0
  private leftMm = 0
  private flat: number
  private readonly spot: ContactSpot

  constructor(spot: ContactSpot) {
    const { radiusMm, contactMPa, dentMPa } = spot
    this.spot = spot
    this.elastic = (4 / 3) * contactMPa * Math.sqrt(radiusMm)
    this.flat = this.elastic
    this.yieldMm = Number.isFinite(dentMPa) ? radiusMm * ((Math.PI * dentMPa) / (2 * contactMPa)) ** 2 : Infinity
    this.yieldN = Number.isFinite(this.yieldMm) ? this.elastic * this.yieldMm ** 1.5 : 0
    this.perMm = Math.PI * (Number.isFinite(dentMPa) ? dentMPa : 0) * radiusMm
  }

  /** Depth of the dent that stays, mm. */
  get dentMm(): number {
    return this.leftMm
  }

  /** Force at an approach, N; nothing is remembered yet. */
  forceAt(approachMm: number): number {
    if (approachMm < this.greatestMm || this.greatestMm === 0) {
      const d = approachMm - this.leftMm
      if (d <= 0) return 0
      if (this.greatestMm > 0) return this.flat * d * Math.sqrt(d)
    }
    if (approachMm <= 0) return 0
    return approachMm <= this.yieldMm
      ? this.elastic * approachMm * Math.sqrt(approachMm)
      : this.yieldN + this.perMm * (approachMm - this.yieldMm)
  }

  /** Keeps the dent that this approach makes. */
  remember(approachMm: number): void {
    if (approachMm <= this.greatestMm || approachMm <= this.yieldMm) return
    const { contactMPa, dentMPa } = this.spot
    const f = this.yieldN + this.perMm * (approachMm - this.yieldMm)
    const radius = ((4 * contactMPa) / (3 * f)) * ((2 * f + this.yieldN) / (2 * Math.PI * dentMPa)) ** 1.5
    this.greatestMm = approachMm
    this.greatestN = f
    this.flat = (4 / 3) * contactMPa * Math.sqrt(radius)
    this.leftMm = approachMm - (this.greatestN / this.flat) ** (2 / 3)
  }

  /**
   * Force when what stands behind the contact gives too: approach + give * force = depth.
   * @param giveMmPerN give of body and floor behind it
   * @returns force N; the approach is remembered
   */
  press(depthMm: number, giveMmPerN: number): number {
    if (depthMm <= this.leftMm) return 0
    let low = this.leftMm
    let high = depthMm
    let x = depthMm
    if (giveMmPerN > 0) {
      // Secant within a bracket: the sum grows with the approach.
      let fLow = low - depthMm
      let fHigh = giveMmPerN * this.forceAt(high)
      for (let k = 0; k < 40; k++) {
        x = low - (fLow * (high - low)) / (fHigh - fLow)
        const off = x + giveMmPerN * this.forceAt(x) - depthMm
        if (Math.abs(off) < 1e-9 * depthMm + 1e-12) break
        if (off > 0) {
          high = x
          fHigh = off
          fLow *= 0.5
        } else {
          low = x
          fLow = off
          fHigh *= 0.5
        }
      }
    }
    this.remember(x)
    return this.forceAt(x)
  }
}
