// Carries out the words of one line after the other: modes, coordinates, moves, settings.
// Order within a line: NIST IR 6556, table 8: feed mode, F, tool, M settings, dwell, plane, units, distance mode, home and offsets, motion, stop.

import { arcByCentre, arcByRadius, chordsOfArc, type PlaneArc } from './arc-path.ts'
import { carryOutSettings, knowsM } from './code-settings.ts'
import { EventList } from './event-list.ts'
import type { LineWords } from './line-words.ts'
import { MoveColumns } from './move-columns.ts'
import { Tally } from './tally.ts'
import { type CodeArc, type CodeOptions, MOVE_AFTER_HOME, MOVE_ARC, MOVE_RAPID } from './types.ts'
import { G_GROUP, G_WITHOUT_EFFECT, NOT_FOLLOWED, wordName } from './word-book.ts'

const E = 4
const F = 5
const I = 8
const J = 9
const K = 10
const L = 11
const P = 15
const R = 17
const S = 18
const T = 19
const X = 23
const Y = 24
const Z = 25
const bit = (letter: number): number => 1 << letter
const AXES = bit(X) | bit(Y) | bit(Z)
const MOVED = AXES | bit(E)
/** Letters that no word carried out here takes: A B C D H L O Q U V W. */
const STRANGE = [0, 1, 2, 3, 7, 11, 14, 16, 20, 21, 22].reduce((mask, letter) => mask | bit(letter), 0)
/** Nothing on a desk lies further away, mm. */
const FAR = 1e6
const MOST_ARCS = 1000
/** Start and end of an arc may differ in radius by this, mm, without a word (NIST IR 6556); by ten times as much they are noted. */
const ARC_OFF_MM = 0.002
const ARC_WAY_OFF_MM = 0.05

export class CodeMachine {
  readonly moves = new MoveColumns()
  readonly events = new EventList()
  readonly unknown = new Tally()
  readonly notFollowed = new Tally()
  readonly arcs: CodeArc[] = []
  nArcs = 0
  /** Line of M2 or M30, 0 before. */
  endLine = 0
  full = false
  usesFilament = false
  nArcsOff = 0
  nRapidWithoutFeed = 0
  nDistanceAfterFilament = 0
  usedInverseTime = false
  /** Numbers that decide units at the end. */
  dwellMost = 0
  nDwellP = 0
  dwellFraction = false
  fanMost = 0
  fanFraction = false
  /** Shares set by M220 and M221. */
  speedShare = 1
  flowShare = 1
  readonly options: CodeOptions
  #x = 0
  #y = 0
  #z = 0
  /** Filament position as the file counts it. */
  #e = 0
  #offX = 0
  #offY = 0
  #offZ = 0
  #unit = 1
  #absolute = true
  #filamentAbsolute = true
  #filamentModeSet = false
  #inverse = false
  /** Feed, mm/s; NaN before the first. */
  #feed = Number.NaN
  #motion = -1
  #plane = 17
  #afterHome = 0

  constructor(options: CodeOptions) {
    this.options = options
  }

  /** Millimetres per unit of length of the file. */
  get unit(): number {
    return this.#unit
  }

  /** M82 and M83. */
  setFilamentMode(absolute: boolean): void {
    this.#filamentAbsolute = absolute
    this.#filamentModeSet = true
  }

  /** Carries out one line. Returns what is wrong with it, or nothing; a line that is wrong changes nothing. */
  carryOut(words: LineWords, line: number): string {
    const { nG, nM } = words
    let motion = -1
    let other = 0
    let usesAxes = 0
    if (nG > 0) {
      let groups = 0
      for (let n = 0; n < nG; n++) {
        const code = words.g[n]
        const group = code < 1000 ? G_GROUP[code] : 0
        if (group > 0) {
          if ((groups & (1 << group)) !== 0) return `two words of one group: ${wordName('G', code)} and another`
          groups |= 1 << group
          if (group === 1 && code <= 30) motion = code / 10
          else other++
        } else {
          other++
          if (code === 280 || code === 300 || code === 100 || (code >= 920 && code <= 923)) usesAxes++
        }
      }
      if (usesAxes > 1 || (usesAxes === 1 && motion >= 0 && (words.seen & MOVED) !== 0))
        return 'two words want the same axis words'
    }
    if (words.bare !== 0 && nM === 0 && !(nG === 1 && words.g[0] === 280)) return 'a letter without a number'
    if (nM > 0 && words.mFirst && !knowsM(words.m[0])) {
      this.strange(wordName('M', words.m[0]), line)
      return ''
    }
    const moves = usesAxes === 0 && (words.seen & MOVED) !== 0 && !(nM > 0 && motion < 0)
    const fault = other > 0 ? this.#checkModes(words, moves) : ''
    if (fault !== '') return fault
    const inverse = other > 0 ? this.#inverseAfter(words) : this.#inverse
    let feed = this.#feed
    if ((words.seen & bit(F)) !== 0) {
      const f = words.value[F]
      if (f < 0) return 'F is below zero'
      if (f > 1e9) return 'F is beyond all reason'
      feed = inverse ? f : (f * this.#unit) / 60
    }
    const kind = motion >= 0 ? motion : this.#motion
    if (moves) {
      if (kind < 0) return 'axis words, but no kind of motion was chosen'
      if (kind > 0) {
        if (inverse && (words.seen & bit(F)) === 0) return 'with inverse time every move needs its F'
        if (!(feed > 0)) return Number.isNaN(feed) ? 'a feed move before any F' : 'F is 0 with a feed move'
      }
    } else if (motion >= 2 && (words.seen & (bit(I) | bit(J) | bit(K) | bit(R))) === 0)
      return 'an arc without centre or radius'
    const arcWithoutEnd = motion >= 2 && !moves
    // Everything below is carried out; an arc checks itself before it changes anything but the modes.
    this.#inverse = inverse
    if (inverse) this.usedInverseTime = true
    else this.#feed = feed
    if ((words.seen & bit(T)) !== 0 && nM === 0) this.events.add('tool', this.moves.n, line, words.value[T])
    if (nM > 0) {
      const wrong = carryOutSettings(words, line, this)
      if (wrong !== '') return wrong
    }
    if (other > 0) this.#modes(words, line)
    if (motion >= 0) this.#motion = motion
    if (moves || arcWithoutEnd) {
      const wrong = this.#move(words, kind, feed, line)
      if (wrong !== '') return wrong
      const strange = words.seen & STRANGE
      if (strange !== 0)
        for (let letter = 0; letter < 26; letter++)
          if ((strange & bit(letter)) !== 0) this.unknown.add(String.fromCharCode(65 + letter), line)
    }
    for (let n = 0; n < nM; n++) if (words.m[n] === 20 || words.m[n] === 300) this.endLine = line
    return ''
  }

  /** Notes a word whose line could not be read, when it is one this reader does not know anyway; false when it is known. */
  noteStranger(words: LineWords, line: number): boolean {
    if (!words.mFirst || knowsM(words.m[0])) return false
    this.strange(wordName('M', words.m[0]), line)
    return true
  }

  /** Counts a word that is not carried out. */
  strange(name: string, line: number): void {
    if (NOT_FOLLOWED[name]) this.notFollowed.add(name, line)
    else this.unknown.add(name, line)
  }

  #checkModes(words: LineWords, moves: boolean): string {
    for (let n = 0; n < words.nG; n++) {
      const code = words.g[n]
      if (code === 40) {
        if ((words.seen & (bit(P) | bit(S))) === 0) return 'a dwell without P or S'
        if ((words.seen & bit(P)) !== 0 && words.value[P] < 0) return 'a dwell below zero'
        if ((words.seen & bit(S)) !== 0 && words.value[S] < 0) return 'a dwell below zero'
      }
      if (code >= 50 && code < 1000 && G_GROUP[code] === 1 && moves && !G_WITHOUT_EFFECT.has(code))
        return `${wordName('G', code)} is a motion that is not read`
    }
    return ''
  }

  #inverseAfter(words: LineWords): boolean {
    let inverse = this.#inverse
    for (let n = 0; n < words.nG; n++) {
      if (words.g[n] === 930) inverse = true
      else if (words.g[n] === 940) inverse = false
    }
    return inverse
  }

  #modes(words: LineWords, line: number): void {
    const { seen, value } = words
    for (let n = 0; n < words.nG; n++) {
      const code = words.g[n]
      switch (code) {
        case 0:
        case 10:
        case 20:
        case 30:
        case 930:
        case 940:
        case 910:
        case 900:
          break
        case 40:
          this.#dwell(words, line)
          break
        case 170:
        case 180:
        case 190:
          this.#plane = code / 10
          break
        case 200:
          this.#unit = 25.4
          break
        case 210:
          this.#unit = 1
          break
        case 280:
          this.#home(seen | words.bare, line)
          break
        case 920:
          this.#setPosition(seen, value)
          break
        case 921:
        case 922:
          this.#offX = 0
          this.#offY = 0
          this.#offZ = 0
          break
        default:
          if (code === 100 && (seen & bit(L)) !== 0) this.notFollowed.add('G10 L', line)
          else if (!G_WITHOUT_EFFECT.has(code)) this.strange(wordName('G', code), line)
      }
    }
    // Distance mode after everything that does not depend on it, before the motion of the same line.
    for (let n = 0; n < words.nG; n++)
      if (words.g[n] === 900 || words.g[n] === 910) {
        this.#absolute = words.g[n] === 900
        if (this.#filamentModeSet) {
          if (this.#absolute !== this.#filamentAbsolute) this.nDistanceAfterFilament++
        } else this.#filamentAbsolute = this.#absolute
      }
  }

  #dwell(words: LineWords, line: number): void {
    const { value } = words
    if (words.has(S)) {
      this.events.add('dwell', this.moves.n, line, -value[S])
      return
    }
    const p = value[P]
    this.nDwellP++
    if (p > this.dwellMost) this.dwellMost = p
    if (p !== Math.floor(p)) this.dwellFraction = true
    this.events.add('dwell', this.moves.n, line, p)
  }

  #home(axes: number, line: number): void {
    const all = (axes & AXES) === 0
    if (all || (axes & bit(X)) !== 0) {
      this.#x = 0
      this.#offX = 0
    }
    if (all || (axes & bit(Y)) !== 0) {
      this.#y = 0
      this.#offY = 0
    }
    if (all || (axes & bit(Z)) !== 0) {
      this.#z = 0
      this.#offZ = 0
    }
    this.#afterHome = MOVE_AFTER_HOME
    this.events.add('home', this.moves.n, line, 0)
  }

  /** G92: the present place is given these numbers. Without any, all become 0. */
  #setPosition(seen: number, value: Float64Array): void {
    const all = (seen & MOVED) === 0
    const unit = this.#unit
    if (all || (seen & bit(X)) !== 0) this.#offX = this.#x - (all ? 0 : value[X] * unit)
    if (all || (seen & bit(Y)) !== 0) this.#offY = this.#y - (all ? 0 : value[Y] * unit)
    if (all || (seen & bit(Z)) !== 0) this.#offZ = this.#z - (all ? 0 : value[Z] * unit)
    if (all || (seen & bit(E)) !== 0) this.#e = all ? 0 : value[E] * unit
  }

  #move(words: LineWords, kind: number, feed: number, line: number): string {
    const { seen, value } = words
    const unit = this.#unit
    let x = this.#x
    let y = this.#y
    let z = this.#z
    if ((seen & bit(X)) !== 0) x = this.#absolute ? value[X] * unit + this.#offX : x + value[X] * unit
    if ((seen & bit(Y)) !== 0) y = this.#absolute ? value[Y] * unit + this.#offY : y + value[Y] * unit
    if ((seen & bit(Z)) !== 0) z = this.#absolute ? value[Z] * unit + this.#offZ : z + value[Z] * unit
    let filament = 0
    let e = this.#e
    if ((seen & bit(E)) !== 0) {
      const said = value[E] * unit
      filament = this.#filamentAbsolute ? said - e : said
      e = this.#filamentAbsolute ? said : e + said
      this.usesFilament = true
    }
    if (!(Math.abs(x) < FAR && Math.abs(y) < FAR && Math.abs(z) < FAR && Math.abs(filament) < FAR))
      return 'a place more than a kilometre away'
    if (this.moves.n >= this.options.mostMoves) {
      this.full = true
      return ''
    }
    if (kind >= 2) return this.#arc(words, kind === 2, x, y, z, filament, e, feed, line)
    const dx = x - this.#x
    const dy = y - this.#y
    const dz = z - this.#z
    const still = dx === 0 && dy === 0 && dz === 0
    this.#e = e
    if (still && filament === 0) return ''
    let speed = feed
    if (kind === 0) {
      if (Number.isNaN(feed) || feed === 0 || this.#inverse) {
        speed = this.options.rapidMmPerS
        this.nRapidWithoutFeed++
      }
    } else if (this.#inverse) {
      const length = still ? Math.abs(filament) : Math.sqrt(dx * dx + dy * dy + dz * dz)
      speed = (length * feed) / 60
    }
    const flags = (kind === 0 ? MOVE_RAPID : 0) | this.#afterHome
    this.#afterHome = 0
    this.#x = x
    this.#y = y
    this.#z = z
    this.moves.push(x, y, z, filament * this.flowShare, speed * this.speedShare, line, flags)
    return ''
  }

  #arc(
    words: LineWords,
    clockwise: boolean,
    x: number,
    y: number,
    z: number,
    filament: number,
    e: number,
    feed: number,
    line: number,
  ): string {
    const { value } = words
    const unit = this.#unit
    const plane = this.#plane
    // The plane's two axes in right-handed order, and the one across: XY/Z, ZX/Y, YZ/X.
    const from = [this.#x, this.#y, this.#z]
    const to = [x, y, z]
    const u = plane === 17 ? 0 : plane === 18 ? 2 : 1
    const v = (u + 1) % 3
    const w = (u + 2) % 3
    let arc: PlaneArc | null
    if (words.has(R)) {
      arc = arcByRadius(from[u], from[v], to[u], to[v], value[R] * unit, clockwise)
      if (!arc) return 'no arc of this radius joins start and end'
    } else {
      const letters = [I, J, K]
      const i = words.has(letters[u]) ? value[letters[u]] * unit : 0
      const j = words.has(letters[v]) ? value[letters[v]] * unit : 0
      if (!words.has(letters[u]) && !words.has(letters[v])) return 'an arc without centre or radius'
      arc = arcByCentre(from[u], from[v], to[u], to[v], i, j, clockwise)
      if (!arc) return 'an arc of no radius'
      if (arc.offMm > ARC_WAY_OFF_MM) return `the arc misses its end by ${arc.offMm.toFixed(3)} mm`
      if (arc.offMm > ARC_OFF_MM) this.nArcsOff++
    }
    if (arc.radius > FAR) return 'an arc with a radius of more than a kilometre'
    const n = chordsOfArc(arc.radius, arc.sweep, this.options.arcErrorMm)
    const across = to[w] - from[w]
    const flat = arc.radius * Math.abs(arc.sweep)
    const length = Math.hypot(flat, across)
    const speed = (this.#inverse ? (length * feed) / 60 : feed) * this.speedShare
    if (this.nArcs++ < MOST_ARCS)
      this.arcs.push({ firstMove: this.moves.n, nMoves: n, radius: arc.radius, angle: arc.sweep, length })
    const at = [0, 0, 0]
    const pushed = (filament * this.flowShare) / n
    for (let k = 1; k <= n; k++) {
      const share = k / n
      const angle = arc.start + arc.sweep * share
      at[u] = k === n ? to[u] : arc.centreU + arc.radius * Math.cos(angle)
      at[v] = k === n ? to[v] : arc.centreV + arc.radius * Math.sin(angle)
      at[w] = from[w] + across * share
      this.moves.push(at[0], at[1], at[2], pushed, speed, line, MOVE_ARC | this.#afterHome)
      this.#afterHome = 0
    }
    this.#x = x
    this.#y = y
    this.#z = z
    this.#e = e
    return ''
  }
}
