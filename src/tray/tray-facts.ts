// A tray without its bead plans and meshes: what screens, files and command output need, small enough to hand from worker to page.

import type { TrayReport } from './plan-tray.ts'
import type { TrayFigure } from './types.ts'

export type TrayFigureFacts = Pick<
  TrayFigure,
  'name' | 'copies' | 'spool' | 'outline' | 'heightMm' | 'nLayers' | 'massG' | 'volumeMm3'
> & { readonly minutesAlone: number; readonly layerHeightMm: number }

/** A tray as it is shown. */
export type TrayFacts = Omit<TrayReport, 'figures'> & { readonly figures: readonly TrayFigureFacts[] }

/** Leaves out what only further computing needs. */
export const trayFacts = (report: TrayReport): TrayFacts => ({
  ...report,
  figures: report.figures.map(
    ({ name, copies, spool, outline, heightMm, nLayers, massG, volumeMm3, timeline, settings }) => ({
      name,
      copies,
      spool,
      outline,
      heightMm,
      nLayers,
      massG,
      volumeMm3,
      minutesAlone: timeline.totals.printS / 60,
      layerHeightMm: settings.layerHeightMm,
    }),
  ),
})
