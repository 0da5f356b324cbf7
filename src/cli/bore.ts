// The bore of a nozzle from an option.

import { CommandTrouble } from './exit-codes.ts'

/** Reads it, mm. Throws CommandTrouble for what is no bore. */
export const boreFrom = (text: string): number => {
  const bore = text.trim() === '' ? Number.NaN : Number(text)
  if (!(bore >= 0.1 && bore <= 1.2)) throw new CommandTrouble(`--bore takes a number from 0.1 to 1.2 mm, not "${text}"`)
  return bore
}
