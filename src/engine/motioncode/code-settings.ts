// M words: temperatures, fan, filament mode, acceleration, corner speed, shares. They stand before all motion of their line.

import type { EventList } from './event-list.ts'
import type { LineWords } from './line-words.ts'
import type { Tally } from './tally.ts'
import { M_WITHOUT_EFFECT, wordName } from './word-book.ts'

const P = 15
const R = 17
const S = 18
const T = 19
const X = 23
const Y = 24

/** What M words may change. */
export interface CodeSettings {
  readonly moves: { readonly n: number }
  readonly events: EventList
  readonly unknown: Tally
  readonly notFollowed: Tally
  readonly unit: number
  speedShare: number
  flowShare: number
  fanMost: number
  fanFraction: boolean
  setFilamentMode(absolute: boolean): void
  strange(name: string, line: number): void
}

/** M codes, times ten, that are carried out here or have no effect. */
export const knowsM = (code: number): boolean => M_WITHOUT_EFFECT.has(code) || CARRIED_OUT.has(code)
const CARRIED_OUT = new Set([20, 300, 820, 830, 1040, 1060, 1070, 1090, 1400, 1900, 2040, 2050, 2200, 2210])

/** Carries out the M words of one line. Returns what is wrong, or nothing. */
export const carryOutSettings = (words: LineWords, line: number, machine: CodeSettings): string => {
  const { value } = words
  const { events, unknown, notFollowed } = machine
  const moves = machine.moves.n
  for (let n = 0; n < words.nM; n++) {
    const code = words.m[n]
    switch (code) {
      case 820:
      case 830:
        machine.setFilamentMode(code === 820)
        break
      case 1040:
      case 1090:
      case 1400:
      case 1900: {
        const letter = words.has(S) ? S : words.has(R) ? R : -1
        if (letter >= 0) events.add(code < 1100 ? 'nozzle' : 'bed', moves, line, value[letter])
        break
      }
      case 1060: {
        if (words.has(P) && value[P] !== 0) {
          unknown.add('M106 of another fan', line)
          break
        }
        const fan = words.has(S) ? value[S] : -1
        if (words.has(S) && fan < 0) return 'a fan below zero'
        if (fan > machine.fanMost) machine.fanMost = fan
        if (fan >= 0 && fan !== Math.floor(fan)) machine.fanFraction = true
        events.add('fan share', moves, line, fan)
        break
      }
      case 1070:
        events.add('fan share', moves, line, 0)
        break
      case 2040: {
        const both = words.has(S) ? value[S] : 0
        const beads = words.has(P) ? value[P] : both
        const travels = words.has(T) ? value[T] : both
        if (beads > 0) events.add('acceleration of beads', moves, line, beads)
        if (travels > 0) events.add('acceleration of travels', moves, line, travels)
        break
      }
      case 2050: {
        if (words.has(X) || words.has(Y)) {
          const corner = Math.min(words.has(X) ? value[X] : 1e9, words.has(Y) ? value[Y] : 1e9)
          if (corner >= 0 && corner < 1e9) events.add('corner speed', moves, line, corner * machine.unit)
        } else notFollowed.add('M205', line)
        break
      }
      case 2200:
      case 2210: {
        if (!words.has(S)) {
          machine.strange(`${wordName('M', code)} without S`, line)
          break
        }
        const share = value[S] / 100
        if (!(share > 0) || share > 100) return 'a share that is 0, below it or beyond reason'
        if (code === 2200) machine.speedShare = share
        else machine.flowShare = share
        events.add(code === 2200 ? 'speed share' : 'flow share', moves, line, share)
        break
      }
      default:
        if (!knowsM(code)) machine.strange(wordName('M', code), line)
    }
  }
  return ''
}
