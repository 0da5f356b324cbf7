// Prints shared out over evenings or lessons: which plate runs on which printer when. Nothing runs without somebody in the house.

import type { Calendar, CalendarEntry } from './types.ts'

/** The time there is. */
export interface CalendarRoom {
  readonly nPrinters: number
  /** Length of one slot (an evening, a lesson), minutes. */
  readonly slotMin: number
  /** What a slot is called, e.g. "evening". */
  readonly slotName: string
  /** Changing over between two plates, minutes, beyond what the plates' own times hold. */
  readonly changeMin: number
}

/** From six to half past ten, one printer; from memory. */
export const EVENING: CalendarRoom = Object.freeze({
  nPrinters: 1,
  slotMin: 270,
  slotName: 'evening',
  changeMin: 5,
})

const clock = (minutes: number): string => {
  const whole = Math.round(minutes)
  return `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, '0')}`
}

/**
 * Longest plates first, each in the first slot and on the first printer that still has room for it.
 * @param plateMin minutes of every plate from heating to removal
 * @param names what is on each, in words
 */
export const shareOut = (plateMin: readonly number[], room: CalendarRoom, names: readonly string[] = []): Calendar => {
  const nameOf = (plate: number): string => names[plate] ?? `plate ${plate + 1}`
  const order = [...plateMin.keys()].sort((a, b) => plateMin[b] - plateMin[a] || a - b)
  const busy: number[][] = []
  const entries: CalendarEntry[] = []
  const tooLong: number[] = []
  for (const plate of order) {
    const minutes = plateMin[plate]
    if (minutes > room.slotMin) {
      tooLong.push(plate)
      continue
    }
    let isSet = false
    for (let slot = 0; !isSet; slot++) {
      if (slot === busy.length) busy.push(new Array(room.nPrinters).fill(0))
      for (let printer = 0; printer < room.nPrinters && !isSet; printer++) {
        const start = busy[slot][printer] === 0 ? 0 : busy[slot][printer] + room.changeMin
        if (start + minutes > room.slotMin) continue
        entries.push({ plate, printer, slot, startMin: start, endMin: start + minutes })
        busy[slot][printer] = start + minutes
        isSet = true
      }
    }
  }
  entries.sort((a, b) => a.slot - b.slot || a.printer - b.printer || a.startMin - b.startMin)
  const words = entries.map(
    ({ plate, printer, slot, startMin, endMin }) =>
      `${room.slotName} ${slot + 1}, printer ${printer + 1}, from ${clock(startMin)} to ${clock(endMin)} after the start: ${nameOf(plate)}`,
  )
  for (const plate of tooLong)
    words.push(
      `${nameOf(plate)} takes ${clock(plateMin[plate])}, longer than one ${room.slotName} of ${clock(room.slotMin)}: run it on a free day with somebody in the house`,
    )
  return { entries, nSlots: busy.length, tooLong, words }
}
