// A class at the printers: what fits into the lessons, what must run outside them with an adult present, and a smaller task that fits.

import { type ExamineSettings, withRecipe } from '../engine/examine/index.ts'
import { good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { shareOut } from './calendar.ts'
import { mostOnBed } from './place-tray.ts'
import { printTogether } from './plate-print.ts'
import { prepareFigure } from './prepare-figure.ts'
import type { BedRoom, TrayFigure, TrayPlace, TrayWish } from './types.ts'

/** The class. */
export interface ClassRoom {
  readonly nPupils: number
  readonly nPrinters: number
  readonly nLessons: number
  readonly lessonMin: number
}

/** One task and how it goes. */
interface ClassTask {
  readonly words: string
  readonly share: number
  readonly layerHeightMm: number
  readonly heightMm: number
  /** Minutes that n of it take on one plate from cold to the last bead. */
  readonly minutesFor: (n: number) => number
  /** Most on one plate within a lesson. */
  readonly mostInLesson: number
}

export interface ClassCase {
  readonly room: ClassRoom
  /** Plates there are in all lessons. */
  readonly nPlates: number
  readonly asked: Omit<ClassTask, 'minutesFor'>
  /** Pieces of the asked task done within the lessons, and pupils left without. */
  readonly doneInLessons: number
  readonly left: number
  /** Hours of printing for the rest, over all printers, in plates of so many, and free days of eight hours it takes. */
  readonly outsideH: number
  readonly perPlateOutside: number
  readonly daysOutside: number
  /** Largest task tried that gives every pupil one within the lessons, and that gives one to every group of pupils. */
  readonly everyPupil: Omit<ClassTask, 'minutesFor'> | null
  readonly everyGroup: Omit<ClassTask, 'minutesFor'> | null
  readonly words: readonly string[]
}

/** Tasks from the asked one down: share of the size, and layer height where it is not the recipe's own. */
const TASKS: readonly (readonly [number, number | null])[] = [
  [1, null],
  [1, 0.2],
  [0.8, 0.2],
  [0.65, 0.2],
  [0.5, 0.2],
  [0.4, 0.2],
]

/** Quicker settings: thicker layers, two shells, less infill. */
const quicker = (settings: ExamineSettings, layerHeightMm: number): ExamineSettings =>
  withRecipe(settings, {
    ...settings.recipe,
    layerHeightMm,
    firstLayerHeightMm: Math.max(settings.firstLayerHeightMm, layerHeightMm),
    nShells: Math.min(settings.nShells, 2),
    infillShare: Math.min(settings.recipe.infillShare, 0.15),
    beadWidthMm: settings.beadWidthMm,
    leastBeadWidthMm: settings.leastBeadWidthMm,
  })

const taskOf = (figure: TrayFigure, share: number, bed: BedRoom, kit: PolygonKit, lessonMin: number): ClassTask => {
  const load = mostOnBed(figure.outline, bed, kit)
  const { heatingS, startS } = figure.timeline.totals
  const minutesFor = (n: number): number => {
    const places: TrayPlace[] = load.places.slice(0, n).map((place) => ({ ...place, figure: 0 }))
    if (places.length < n) return Number.POSITIVE_INFINITY
    return (printTogether([figure], places).printS + heatingS + startS) / 60
  }
  let mostInLesson = 0
  while (mostInLesson < load.places.length && minutesFor(mostInLesson + 1) <= lessonMin) mostInLesson++
  const { layerHeightMm } = figure.settings
  return {
    words: `${figure.name} at ${Math.round(100 * share)} % (${figure.heightMm.toFixed(0)} mm tall) in layers of ${layerHeightMm} mm`,
    share,
    layerHeightMm,
    heightMm: figure.heightMm,
    minutesFor,
    mostInLesson,
  }
}

/** Works out the class. @param wish the task as asked; its copies do not count */
export const classCase = async (
  wish: TrayWish,
  room: ClassRoom,
  bed: BedRoom,
  kit: PolygonKit,
  task?: Task,
): Promise<Outcome<ClassCase>> => {
  const nPlates = room.nPrinters * room.nLessons
  const perPlate = Math.ceil(room.nPupils / nPlates)
  let asked: ClassTask | null = null
  let everyPupil: ClassTask | null = null
  let everyGroup: ClassTask | null = null
  let askedHeightMm = 0
  for (let k = 0; k < TASKS.length && !everyPupil; k++) {
    const [share, layer] = TASKS[k]
    const settings =
      layer === null ? wish.settings : quicker(wish.settings, Math.max(layer, wish.settings.layerHeightMm))
    const sized =
      k === 0 ? settings : { ...settings, scale: { by: 'total-height' as const, totalMm: share * askedHeightMm } }
    const figure = await prepareFigure(
      { ...wish, settings: sized },
      kit,
      partOf(task, k / TASKS.length, (k + 1) / TASKS.length),
    )
    if (!figure.ok) return figure
    if (k === 0) askedHeightMm = figure.value.heightMm
    const one = taskOf(figure.value, share, bed, kit, room.lessonMin)
    asked ??= one
    if (one.mostInLesson >= perPlate) everyPupil = one
    if (one.mostInLesson >= 1) everyGroup ??= one
  }
  const first = asked as ClassTask
  const doneInLessons = Math.min(room.nPupils, nPlates * first.mostInLesson)
  const left = room.nPupils - doneInLessons
  // Outside the lessons: as many on a plate as a free day of eight hours takes.
  const DAY_MIN = 480
  let perPlateOutside = 1
  while (perPlateOutside < left && first.minutesFor(perPlateOutside + 1) <= DAY_MIN) perPlateOutside++
  const platesOutside = left > 0 ? Math.ceil(left / perPlateOutside) : 0
  const minutes = Array.from({ length: platesOutside }, (_, k) =>
    first.minutesFor(Math.min(perPlateOutside, left - k * perPlateOutside)),
  )
  const days = shareOut(minutes, { nPrinters: room.nPrinters, slotMin: DAY_MIN, slotName: 'day', changeMin: 10 })
  const outsideH = minutes.reduce((a, b) => a + b, 0) / 60
  const { minutesFor, ...plainAsked } = first
  const plain = (t: ClassTask | null): Omit<ClassTask, 'minutesFor'> | null => {
    if (!t) return null
    const { minutesFor: _minutes, ...rest } = t
    return rest
  }
  const groups = Math.ceil(room.nPupils / nPlates)
  const words = [
    `${room.nPupils} pupils, ${room.nPrinters} printers, ${room.nLessons} lessons of ${room.lessonMin} min: ${nPlates} plates from cold to the last bead; cooling and taking off (${Math.round((wish.settings.printer.coolingS + wish.settings.printer.removalS) / 60)} min) fall into the break.`,
    first.mostInLesson === 0
      ? `${first.words}: one takes ${minutesFor(1).toFixed(0)} min, so none fits into a lesson.`
      : `${first.words}: ${first.mostInLesson} on a plate fit into a lesson, ${doneInLessons} in all.`,
    left === 0
      ? 'Nobody is left without one.'
      : `For the other ${left}: ${platesOutside} plates of up to ${perPlateOutside}, ${outsideH.toFixed(1)} printer hours outside the lessons, ${days.nSlots} day${days.nSlots === 1 ? '' : 's'} of eight hours on ${room.nPrinters} printers, with an adult present all the time.`,
    everyPupil
      ? `A task that gives every pupil one within the lessons: ${everyPupil.words}, ${perPlate} on a plate in ${everyPupil.minutesFor(perPlate).toFixed(0)} min${everyPupil.share < 0.7 ? '; thin parts will not come out at that size, so choose a stout figure' : ''}.`
      : `No size down to ${Math.round(100 * TASKS[TASKS.length - 1][0])} % gives every pupil one within the lessons.`,
    everyGroup
      ? `One for every group of ${groups}: ${everyGroup.words}, ${everyGroup.minutesFor(1).toFixed(0)} min.`
      : 'Not even one for every group fits: print before the lesson and let the class finish and judge.',
    'Hot parts and moving parts: pupils keep their hands off while it runs; look up what your school and your country ask for.',
  ]
  return good({
    room,
    nPlates,
    asked: plainAsked,
    doneInLessons,
    left,
    outsideH,
    perPlateOutside,
    daysOutside: days.nSlots,
    everyPupil: plain(everyPupil),
    everyGroup: plain(everyGroup),
    words,
  })
}
