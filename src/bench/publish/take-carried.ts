// Files that carry more than one thing: a published guide, a notebook. Told by content with next to no code; what opens them comes then.

import { openPage } from '../pages/page-place.ts'
import { said, troubles } from '../state.ts'

const MOST_GUIDE_BYTES = 80_000_000

const isNotebook = async (file: File): Promise<boolean> => (await file.slice(0, 15).text()) === 'SQLite format 3'

const isGuide = async (file: File): Promise<boolean> => {
  if (file.size > MOST_GUIDE_BYTES || !/^\s*<(!doctype html|html)/i.test(await file.slice(0, 200).text())) return false
  // The block stands at the end of the page, behind photographs and sculpt.
  return (await file.slice(-200_000).text()).includes('id="fettle-guide-data"')
}

/** Opens the guides and notebooks among some files, and answers with the other files. */
export const takeCarried = async (files: readonly File[]): Promise<readonly File[]> => {
  const others: File[] = []
  for (const file of files) {
    if (await isNotebook(file)) {
      const words = await (await import('../notebook/keep-things.ts')).keepFile(file)
      said.value = words
      // The page tells what is in it now.
      openPage('notebook')
    } else if (await isGuide(file)) {
      try {
        await (await import('./open-guide.ts')).openGuide(file.name, await file.text())
      } catch {
        troubles.value = [`${file.name} could not be opened: the network is away and its reader is not kept yet.`]
      }
    } else others.push(file)
  }
  return others
}
