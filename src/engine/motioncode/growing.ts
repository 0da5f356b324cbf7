// A list of numbers in a typed array that grows by half.

export class Growing {
  n = 0
  #values: Float64Array

  constructor(capacity = 256) {
    this.#values = new Float64Array(capacity)
  }

  push(value: number): void {
    if (this.n === this.#values.length) {
      const more = new Float64Array(Math.ceil(1.5 * this.n) + 16)
      more.set(this.#values)
      this.#values = more
    }
    this.#values[this.n++] = value
  }

  at(i: number): number {
    return this.#values[i]
  }

  set(i: number, value: number): void {
    this.#values[i] = value
  }

  /** What is in it, not copied. */
  values(): Float64Array {
    return this.#values.subarray(0, this.n)
  }
}
