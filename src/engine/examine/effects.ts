// Effects of remedies: examines the window of each finding again with the one change made, and compares.

import {
  type Change,
  type Effect,
  type Finding,
  HEAT_RULES,
  judge,
  OUTLINE_RULES,
  PRINT_RULES,
  type RoomResults,
  type Rule,
  remedyRank,
  ruleOf,
  type Spot,
} from '../findings/index.ts'
import { breathe, type StartWasm, type Task } from '../kernel/index.ts'
import { type MovedFigure, movedSpot, scaledFigure, settingsAfter, turnedFigure } from './changed.ts'
import { runFullHeat, runQuickHeat } from './run-heat.ts'
import { isPrintChange, type PlannedPrint, planOf, planPrint, replanned, retimed, runPrint } from './run-print.ts'
import { type RoomContext, runAllRooms, runSections, runStanceRooms } from './run-rooms.ts'

/** Most height of a window, mm: a long limb is judged around its middle. */
const MOST_WINDOW = 3
/** Stances shown for one finding, best first. */
const MOST_STANCES = 2

const spotOf = (finding: Finding): Spot => {
  const { fromMm, toMm, point, areaMm2 } = finding.place
  const middle = Math.min(Math.max(point[2], fromMm), toMm)
  const half = Math.min(toMm - fromMm, MOST_WINDOW) / 2
  const from = Math.max(fromMm, Math.min(middle - half, toMm - 2 * half))
  return {
    x: point[0],
    y: point[1],
    fromMm: from,
    toMm: from + 2 * half,
    radiusMm: Math.max(1.2, Math.sqrt(areaMm2)),
  }
}

/** How often each rule speaks. */
const countsOf = (findings: readonly Finding[]): Map<string, number> => {
  const counts = new Map<string, number>()
  for (const f of findings) {
    if (f.severity === 'note') continue
    counts.set(f.rule, (counts.get(f.rule) ?? 0) + 1)
  }
  return counts
}

const newOnes = (
  before: Map<string, number>,
  after: Map<string, number>,
): { readonly brings: readonly string[]; readonly nBrings: number } => {
  const brings: string[] = []
  let nBrings = 0
  for (const [rule, n] of after) {
    const more = n - (before.get(rule) ?? 0)
    if (more <= 0) continue
    brings.push(more === 1 ? rule : `${rule} (${more} more)`)
    nBrings += more
  }
  return { brings, nBrings }
}

/** A whole-figure trial of one stance, shared by all findings. */
interface StanceTrial {
  readonly results: RoomResults
  readonly counts: Map<string, number>
  readonly moved: MovedFigure['moved']
}

/** Computes effects one after another; trials of a stance are shared. */
export class EffectRunner {
  private readonly context: RoomContext
  private readonly results: RoomResults
  private readonly stanceTrials = new Map<string, StanceTrial>()
  private stanceBefore: Map<string, number> | null = null

  private readonly planned: PlannedPrint | null
  private readonly startWasm: StartWasm | null
  private readonly printTrials = new Map<string, RoomResults>()

  /** @param planned beads already planned, for remedies that leave them where they are */
  constructor(
    context: RoomContext,
    results: RoomResults,
    planned: PlannedPrint | null,
    startWasm: StartWasm | null = null,
  ) {
    this.startWasm = startWasm
    this.context = context
    this.results = results
    this.planned = planned
  }

  /** The finding with the effects of its remedies filled in, best remedies first. */
  async withEffects(finding: Finding, task?: Task): Promise<Finding> {
    if (finding.remedies.length === 0) return finding
    const isOfHeat = HEAT_RULES.some(({ id }) => id === finding.rule)
    const remedies = []
    for (const remedy of finding.remedies) {
      await breathe(task)
      const { change } = remedy
      // Rules of strength bring the effect along: the room has computed it with the place itself.
      if (remedy.effect) {
        remedies.push(remedy)
        continue
      }
      const effect = isOfHeat
        ? await this.heatEffect(finding, change, task)
        : change.what === 'stance'
          ? await this.stanceEffect(finding, change, task)
          : isPrintChange(change, this.context.settings.recipe)
            ? await this.printEffect(finding, change, task)
            : await this.windowEffect(finding, change, task)
      // Changes that leave the temperatures as they are help nobody.
      if (isOfHeat && effect && isNothing(effect)) continue
      remedies.push({ ...remedy, effect })
    }
    const stances = remedies
      .filter((r) => r.change.what === 'stance')
      .sort((a, b) => remedyRank(a.effect) - remedyRank(b.effect))
      .slice(0, MOST_STANCES)
    const others = remedies.filter((r) => r.change.what !== 'stance')
    return { ...finding, remedies: [...others, ...stances] }
  }

  private async windowEffect(finding: Finding, change: Change, task?: Task): Promise<Effect | null> {
    const rule = ruleOf(finding.rule)
    if (!rule?.measure) return null
    const spot = spotOf(finding)
    const before = rule.measure(this.results, spot)
    const settings = settingsAfter(this.context.settings, change)
    let figure = this.context.figure
    let spotAfter = spot
    if (change.what === 'soleToEyeMm' || change.what === 'scaleShare') {
      const share = Number(change.to) / Number(change.from)
      const scaled = scaledFigure(figure, share)
      figure = scaled.figure
      spotAfter = movedSpot(spot, share, scaled.moved)
    }
    const margin = 4 * settings.layerHeightMm
    const window: [number, number] = [spotAfter.fromMm - margin, spotAfter.toMm + margin]
    const results = await runAllRooms({ ...this.context, settings, figure, window }, quiet(task))
    const after = rule.measure(results, spotAfter)
    const near = (f: Finding): boolean =>
      f.severity !== 'note' &&
      Math.hypot(f.place.point[0] - spotAfter.x, f.place.point[1] - spotAfter.y) <= spotAfter.radiusMm + 1
    const found = judge(results).filter(near)
    // A limb is followed over its whole height before it is judged, so in a short window its own measure decides.
    const resolves = finding.rule === 'thin-limb' ? after.value >= 2 : !found.some((f) => f.rule === finding.rule)
    const known = new Set(this.rulesAt(spot))
    const brings = [...new Set(found.map((f) => f.rule))].filter((r) => r !== finding.rule && !known.has(r))
    return { resolves, label: before.label, before: before.value, after: after.value, unit: before.unit, brings }
  }

  /** Effect of a change of the recipe that leaves outlines alone: beads, times and plastic of the whole figure again. */
  private async printEffect(finding: Finding, change: Change, task?: Task): Promise<Effect | null> {
    const rule = ruleOf(finding.rule)
    if (!rule?.measure || !this.planned || !this.results.print) return null
    const key = `${change.what}=${change.to}`
    let after = this.printTrials.get(key)
    if (!after) {
      const settings = settingsAfter(this.context.settings, change)
      const { layers } = this.results
      const planned =
        replanned(this.planned, change) ?? (await planPrint(layers, settings, this.context.kit, quiet(task)))
      after = { ...this.results, print: await runPrint(layers, planned, settings, quiet(task), this.results.print) }
      this.printTrials.set(key, after)
    }
    const spot = spotOf(finding)
    const whole = { ...spot, fromMm: finding.place.fromMm, toMm: finding.place.toMm }
    const before = rule.measure(this.results, whole)
    const measured = rule.measure(after, whole)
    const found = judge(after, PRINT_RULES)
    const known = new Set(judge(this.results, PRINT_RULES).map((f) => f.rule))
    const overlaps = (f: Finding): boolean => f.place.fromMm < whole.toMm && f.place.toMm > whole.fromMm
    const brings = [...new Set(found.filter((f) => f.severity !== 'note').map((f) => f.rule))].filter(
      (r) => !known.has(r),
    )
    return {
      resolves: !found.some((f) => f.rule === finding.rule && overlaps(f)),
      label: before.label,
      before: before.value,
      after: measured.value,
      unit: before.unit,
      brings,
    }
  }

  private readonly heatTrials = new Map<string, RoomResults>()
  /** The one finding whose remedies are followed in detail, in a window. */
  private followed: string | null = null

  /** The figure with a change, timed and with its layer model of heat. */
  private async heatTrial(change: Change, lean: boolean, task?: Task): Promise<RoomResults | null> {
    const { print } = this.results
    if (!this.planned || !print) return null
    const key = `${JSON.stringify(change)}|${lean}`
    const known = this.heatTrials.get(key)
    if (known) return known
    const settings = settingsAfter(this.context.settings, change)
    const same = isPrintChange(change, this.context.settings.recipe)
    const layers = same ? this.results.layers : await runSections({ ...this.context, settings }, quiet(task))
    const planned =
      (same && replanned(this.planned, change)) || (await planOf(layers, settings, this.context.kit, quiet(task)))
    const after = await retimed(planned, settings, print, quiet(task))
    const heat = await runQuickHeat(after, lean, quiet(task))
    const results = { ...this.results, layers, print: after, heat }
    this.heatTrials.set(key, results)
    return results
  }

  /**
   * Effect on temperatures: by the layer model; for the gravest place, and where only the detailed calculation has the answer,
   * by that calculation in a window of height, started from what the whole run has kept.
   */
  private async heatEffect(finding: Finding, change: Change, task?: Task): Promise<Effect | null> {
    const rule = ruleOf(finding.rule)
    const { heat, print } = this.results
    if (!rule?.measure || !heat || !print || change.what === 'stance') return null
    const { full } = heat
    if (full && finding.rule === 'laid-on-soft') this.followed ??= finding.id
    const windowed = full !== null && (finding.id === this.followed || ['lingers', 'weak-bond'].includes(finding.rule))
    let after = await this.heatTrial(change, finding.rule !== 'soft-by-bed', task)
    if (!after?.heat || !after.print) return null
    const spot = spotOf(finding)
    let before: RoomResults = { ...this.results, heat: { ...heat, full: null } }
    if (windowed) {
      const { fromMm, toMm } = spot
      const states = { fromMm, toMm, states: full.states }
      after = {
        ...after,
        heat: {
          ...after.heat,
          full: await runFullHeat(after.print, { startWasm: this.startWasm }, quiet(task), states),
        },
      }
      before = this.results
    }
    const was = rule.measure(before, spot)
    const is = rule.measure(after, spot)
    if (!Number.isFinite(is.value)) return null
    const minutes = ((after.print?.timeline.totals.printS ?? 0) - print.timeline.totals.printS) / 60
    return {
      resolves: isEnough(rule, after, is.value),
      label: was.label,
      before: was.value,
      after: is.value,
      unit: was.unit,
      ...(Math.abs(minutes) >= 0.5 && change.what !== 'nTogether' ? { minutes } : {}),
      ...(windowed ? { windowed: true as const } : {}),
      brings: [],
    }
  }

  private here: Finding[] | null = null

  /** Rules that speak at a spot already. */
  private rulesAt(spot: Spot): string[] {
    this.here ??= judge({ ...this.results, print: null, heat: null, strength: null })
    return this.here
      .filter(
        (f) =>
          f.place.toMm >= spot.fromMm - 1 &&
          f.place.fromMm <= spot.toMm + 1 &&
          Math.hypot(f.place.point[0] - spot.x, f.place.point[1] - spot.y) <= spot.radiusMm + 2,
      )
      .map((f) => f.rule)
  }

  private async stanceEffect(finding: Finding, change: Change, task?: Task): Promise<Effect | null> {
    const rule = ruleOf(finding.rule)
    if (!rule?.measure) return null
    const key = String(change.to)
    let trial = this.stanceTrials.get(key)
    if (!trial) {
      const settings = settingsAfter(this.context.settings, change)
      const { figure, moved } = turnedFigure(this.context.figure, this.context.settings.stance, settings.stance)
      const results = await runStanceRooms({ ...this.context, settings, figure }, quiet(task))
      trial = { results, counts: countsOf(judge(results, OUTLINE_RULES)), moved }
      this.stanceTrials.set(key, trial)
    }
    this.stanceBefore ??= countsOf(judge(this.results, OUTLINE_RULES))
    const spot = spotOf(finding)
    const before = rule.measure(this.results, spot)
    const after = rule.measure(trial.results, movedSpot(spot, 1, trial.moved))
    const limit = finding.rule === 'overhang' ? this.context.settings.beadWidthMm : finding.rule === 'span' ? 2 : 1e-6
    return {
      resolves: after.value <= limit,
      label: before.label,
      before: before.value,
      after: after.value,
      unit: before.unit,
      ...newOnes(this.stanceBefore, trial.counts),
    }
  }
}

/** True for an effect of less than 1 % that costs no less time either. */
const isNothing = ({ before, after, minutes = 0 }: Effect): boolean =>
  Math.abs(after - before) < 0.01 * Math.abs(before) && minutes >= 0

/** Whether the measure after a remedy is enough. */
const isEnough = (rule: Rule, after: RoomResults, value: number): boolean => rule.enough?.(after, value) ?? false

/** The same task without progress of its own: effects count findings, not layers. */
const quiet = (task?: Task): Task | undefined => (task ? { signal: task.signal, breathe: task.breathe } : undefined)
