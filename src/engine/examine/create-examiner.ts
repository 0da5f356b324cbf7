// One examination from bytes to findings: order, progress, cancel, partial results, reuse.

import { type Figure, standUp } from '../figure/index.ts'
import { judge, type RoomResults } from '../findings/index.ts'
import {
  breathe,
  failed,
  type Issue,
  type Outcome,
  type PolygonKit,
  partOf,
  type StartWasm,
  type Task,
} from '../kernel/index.ts'
import { edgeNeighbours, readSculpt, type Sculpt } from '../mesh/index.ts'
import { CUT_LIMITS, countPieces } from '../sections/index.ts'
import { fitShells, measureSurface } from '../thickness/index.ts'
import { EffectRunner } from './effects.ts'
import { beadsKeyOf, fedBeads } from './fed-plan.ts'
import { heatTracks } from './heat-tracks.ts'
import { Kept, type KeptLimits } from './kept.ts'
import { printTracks } from './print-tracks.ts'
import { runFullHeat, runQuickHeat } from './run-heat.ts'
import { type PlannedPrint, planBare, runPrint, weighPlastic } from './run-print.ts'
import { type RoomContext, ruleSettings, runRelations, runSections, runThickness, runVanishing } from './run-rooms.ts'
import { runStrength, strengthTrack } from './run-strength.ts'
import { runSurface, surfaceTrack } from './run-surface.ts'
import { checkSettings, recipeInForce } from './settings.ts'
import { summaryOf } from './summary.ts'
import { tracksOf } from './tracks.ts'
import type { Examination, ExamineSettings, PartialExamination, Track } from './types.ts'

/** How closely heat is followed: by the layer model, through every bead, or through every bead in cells of half the side. */
export type HeatDetail = 'quick' | 'whole' | 'fine'

/** A task of an examination: partial results come as they are ready. */
export interface ExamineTask extends Task {
  readonly onPartial?: (partial: PartialExamination) => void
  /** Leave out the thickness in space and the effects of remedies, for a quick answer. */
  readonly quick?: boolean
  /** Leave out only the thickness in space and the effects of remedies: enough to compare recipes. */
  readonly withoutRemedies?: boolean
  /** Heat by the layer model alone, or followed through every bead as well, which takes longer than all else; quick unless set. */
  readonly heat?: HeatDetail
}

/** Examines files one after another and keeps what may be asked again. */
export interface Examiner {
  readonly examine: (
    bytes: Uint8Array,
    name: string,
    settings: ExamineSettings,
    task?: ExamineTask,
  ) => Promise<Outcome<Examination>>
  /** What was computed and what was found again, by room. */
  readonly kept: Kept
}

/** Every track that the results can fill, in the order of the height log. */
const allTracks = (outlineTracks: readonly Track[], results: RoomResults): Track[] => {
  const { print, heat, strength } = results
  return [
    ...outlineTracks,
    ...(print ? printTracks(results, print) : []),
    ...(print && heat ? heatTracks(heat, print) : []),
    ...(strength ? [strengthTrack(results, strength)] : []),
  ]
}

/** Cells of the fine calculation of heat, mm. */
const FINE_CELL_MM = 0.2

/** Results kept of each room: enough for a step back and a what-if of two. */
const KEPT_RESULTS: KeptLimits = { most: 3 }

/** Rooms whose results serve many recipes: how many of each a search keeps, while they fit. */
const SHARED_RESULTS = 40
const SHARED_ROOMS = [
  'sections',
  'thickness',
  'relations',
  'shells',
  'vanishing',
  'beads',
  'balance',
  'steady',
  'strength',
]

/** What an examiner keeps that looks at many recipes of one figure: outlines, beads and strength by what they depend on. */
export const keptForSearch = (mostBytes: number): KeptLimits => ({
  ...KEPT_RESULTS,
  mostOf: Object.fromEntries(SHARED_ROOMS.map((room) => [room, SHARED_RESULTS])),
  mostBytes,
})

/**
 * An examiner with a store of its own.
 * @param kit the polygon library, handed in
 * @param startWasm starts WebAssembly; null: plain arrays, slower
 * @param limits how much is kept for the next question
 */
export const createExaminer = (
  kit: PolygonKit,
  startWasm: StartWasm | null = null,
  limits: KeptLimits = KEPT_RESULTS,
): Examiner => {
  const kept = new Kept(limits)
  const numberOf = new WeakMap<Uint8Array, number>()
  let nFiles = 0

  const sculptOf = async (bytes: Uint8Array, name: string, settings: ExamineSettings, task?: Task) => {
    let number = numberOf.get(bytes)
    if (number === undefined) {
      number = nFiles++
      numberOf.set(bytes, number)
    }
    const key = `${number}|${name}`
    const outcome = await kept.get('mesh', key, () => readSculpt(bytes, { name }, task))
    return { outcome, key: outcome.ok ? `${outcome.value.hash}|${name}` : key, settings }
  }

  const examine: Examiner['examine'] = async (bytes, name, settings, task) => {
    const issues = checkSettings(settings)
    if (issues.length > 0) return { ok: false, issues }
    const step = (from: number, to: number): Task | undefined => partOf(task, from, to)
    const partial = (result: Omit<PartialExamination, 'settings'>): void => task?.onPartial?.({ settings, ...result })

    task?.onProgress?.(0, 'reading the mesh')
    const { outcome: read, key: sculptKey } = await sculptOf(bytes, name, settings, step(0, 0.15))
    if (!read.ok) return read
    const sculpt: Sculpt = read.value
    await breathe(task)

    const figureKey = `${sculptKey}|${JSON.stringify([settings.scale, settings.unit, settings.stance, settings.eyeLineMm])}`
    const stood = await kept.get('figure', figureKey, () =>
      standUp(sculpt, {
        scale: settings.scale,
        unit: settings.unit,
        stance: settings.stance,
        eyeLineMm: settings.eyeLineMm,
      }),
    )
    if (!stood.ok) return stood
    const figure: Figure = stood.value
    const { layers: nLayers, pieces } = countPieces(figure.mesh, figure.max[2], settings.layerHeightMm)
    if (nLayers > CUT_LIMITS.layers || pieces > CUT_LIMITS.pieces) {
      return failed(
        'examine/too-large',
        `At ${figure.max[2].toFixed(0)} mm and layers of ${settings.layerHeightMm} mm there would be ${nLayers} layers and ${(pieces / 1e6).toFixed(0)} million pieces of outline, ` +
          `expected at most ${CUT_LIMITS.layers} and ${CUT_LIMITS.pieces / 1e6} million; set a smaller size or thicker layers.`,
      )
    }
    partial({ figure })
    await breathe(task)

    const neighbours = await kept.get('neighbours', sculptKey, () => edgeNeighbours(sculpt.mesh))
    const context: RoomContext = { figure, neighbours, settings, kit }
    const layersKey = `${figureKey}|${settings.layerHeightMm}|${settings.firstLayerHeightMm}|${settings.thickenMm}`
    const layers = await kept.get('sections', layersKey, () => runSections(context, step(0.15, 0.25)))
    partial({ layers })
    const outlineThickness = await kept.get('thickness', layersKey, () => runThickness(layers, step(0.25, 0.4)))
    const bead = settings.beadWidthMm
    const relations = await kept.get('relations', `${layersKey}|${bead}`, () =>
      runRelations(layers, context, step(0.4, 0.5)),
    )
    const shellFit = await kept.get('shells', `${layersKey}|${bead}`, () =>
      fitShells(layers, outlineThickness, { beadWidthMm: bead }),
    )
    const vanishing = await kept.get('vanishing', `${layersKey}|${bead}`, () =>
      runVanishing(layers, outlineThickness, context, step(0.5, 0.6)),
    )
    let results: RoomResults = {
      settings: ruleSettings(settings),
      figure,
      layers,
      relations,
      outlineThickness,
      shellFit,
      vanishing,
      print: null,
      heat: null,
      strength: null,
    }
    let tracks = tracksOf(results)
    let findings = judge(results)
    let summary = summaryOf(results, settings, findings)
    partial({ relations, outlineThickness, shellFit, vanishing, tracks, findings, summary })
    await breathe(task)

    // Beads, times and plastic: their tracks and findings join those of the outlines.
    let planned: PlannedPrint | null = null
    const { printer, filament: spool, nTogether } = settings
    const key = `${layersKey}|${JSON.stringify([recipeInForce(settings), printer, spool, nTogether])}`
    // What is inside the figure, and so what breaks, does not hang on how the beads are fed.
    const beadsKey = `${layersKey}|${beadsKeyOf(settings)}`
    const strengthKey = `${beadsKey}|${JSON.stringify(spool)}`
    const outlineTracks = tracks
    if (!task?.quick) {
      const bare = await kept.get('beads', beadsKey, () => planBare(layers, settings, kit, step(0.6, 0.68)))
      const laid = fedBeads(bare, settings)
      planned = laid
      const print = await kept.get('print', key, async () => {
        const weighed = await weighPlastic(kept, beadsKey, layers, laid, settings, task)
        return runPrint(layers, laid, settings, step(0.68, 0.7), undefined, weighed)
      })
      results = { ...results, print }
      tracks = [...outlineTracks, ...printTracks(results, print)]
      partial({ print, tracks })
      const heat = await kept.get('heat', key, () => runQuickHeat(print, false, step(0.7, 0.71)))
      results = { ...results, heat }
      const strength = await kept.get('strength', strengthKey, () => runStrength(results, settings, step(0.71, 0.72)))
      results = { ...results, strength }
      tracks = allTracks(outlineTracks, results)
      findings = judge(results)
      summary = summaryOf(results, settings, findings)
      partial({ heat, strength, tracks, findings, summary })
      await breathe(task)
    }

    const isBare = task?.quick || task?.withoutRemedies
    const surfaceThickness = isBare
      ? null
      : await kept.get('surface', figureKey, () => measureSurface(figure, {}, step(0.72, 0.76)))
    if (surfaceThickness) partial({ surfaceThickness })

    const detail = task?.quick ? 'quick' : (task?.heat ?? 'quick')
    const { print, heat: look } = results
    if (detail !== 'quick' && print && look) {
      const options = { startWasm, ...(detail === 'fine' ? { cellMm: FINE_CELL_MM } : {}) }
      const full = await kept.get('whole-heat', `${key}|${detail}`, () => runFullHeat(print, options, step(0.76, 0.88)))
      const heat = { ...look, full }
      results = { ...results, heat }
      const strength = await kept.get('healed-strength', `${key}|${detail}`, () =>
        runStrength(results, settings, step(0.88, 0.89)),
      )
      results = { ...results, strength }
      tracks = allTracks(outlineTracks, results)
      findings = judge(results)
      summary = summaryOf(results, settings, findings)
      partial({ heat, strength, tracks, findings, summary })
      await breathe(task)
    }

    // How it will look needs beads, and the thickness that tells buried places; heat joins where it was followed through every bead.
    const surface = surfaceThickness
      ? await kept.get('look', `${key}|${detail}`, () => {
          const heat = results.heat?.full ?? null
          return runSurface(
            results,
            surfaceThickness,
            heat,
            kit,
            task && { signal: task.signal, breathe: task.breathe },
          )
        })
      : null
    if (surface) {
      results = { ...results, surface }
      tracks = [...tracks, surfaceTrack(results, surface)]
      findings = judge(results)
      summary = summaryOf(results, settings, findings)
      partial({ surface, tracks, findings, summary })
      await breathe(task)
    }

    if (!isBare) {
      findings = await kept.get('effects', `${key}|${detail}`, async () => {
        const runner = new EffectRunner(context, results, planned, startWasm)
        const done = [...findings]
        for (let i = 0; i < done.length; i++) {
          task?.onProgress?.(0.89 + (0.11 * i) / done.length, 'trying remedies')
          done[i] = await runner.withEffects(done[i], task)
          partial({ findings: [...done] })
        }
        return done
      })
    }
    task?.onProgress?.(1, 'done')
    const notes: readonly Issue[] = [...read.notes, ...stood.notes]
    return {
      ok: true,
      notes,
      value: {
        kind: 'examination',
        settings,
        summary,
        figure,
        layers,
        relations,
        outlineThickness,
        shellFit,
        vanishing,
        surfaceThickness,
        print: results.print,
        heat: results.heat,
        strength: results.strength,
        surface,
        tracks,
        findings,
      },
    }
  }
  return { examine, kept }
}
