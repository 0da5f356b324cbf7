// Typed arrays that grow while a file of unknown length is read.

/** Growing list of numbers in double precision. */
export class GrowingDoubles {
  length = 0
  private held = new Float64Array(3072)
  push(value: number): void {
    if (this.length === this.held.length) {
      const larger = new Float64Array(2 * this.length)
      larger.set(this.held)
      this.held = larger
    }
    this.held[this.length++] = value
  }
  /** The numbers so far, a copy. */
  take(): Float64Array {
    return this.held.slice(0, this.length)
  }
}

/** Growing list of whole numbers below 2^32. */
export class GrowingIndices {
  length = 0
  private held = new Uint32Array(3072)
  push(value: number): void {
    if (this.length === this.held.length) {
      const larger = new Uint32Array(2 * this.length)
      larger.set(this.held)
      this.held = larger
    }
    this.held[this.length++] = value
  }
  /** The numbers so far, a copy. */
  take(): Uint32Array {
    return this.held.slice(0, this.length)
  }
}
