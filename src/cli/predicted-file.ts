// The option --predicted: the printed solid of one figure as a mesh file, STL or PLY.

import { extname } from 'node:path'
import { CommandTrouble } from './exit-codes.ts'

export interface PredictedOptions {
  readonly predicted?: string
}

/** Form of the file, null when none is wanted. @throws CommandTrouble where the name says no form, or several figures are given */
export const predictedForm = ({ predicted }: PredictedOptions, nFiles: number): 'stl' | 'ply' | null => {
  if (predicted === undefined) return null
  if (nFiles > 1) throw new CommandTrouble('--predicted writes the printed solid of one figure: give a single FILE')
  const form = extname(predicted).toLowerCase()
  if (form !== '.stl' && form !== '.ply')
    throw new CommandTrouble(`--predicted writes files that end in .stl or .ply, not "${predicted}"`)
  return form === '.stl' ? 'stl' : 'ply'
}
