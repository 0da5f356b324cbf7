// Tray. Question answered: what shares a bed, in what order, how long, how much, how likely to lose the lot?
// Model: plan outlines with gaps set at the lowest free spot or in rows, whichever holds more; layer times added up; constant hazard.
// Sources: exponential law for losses; thread model of melt; quick heat with the others' time as a pause. Limits: pieces warm each other
// only through time; a local failure that could be skipped counts as none.
export { type CalendarRoom, EVENING, shareOut } from './calendar.ts'
export { type ClassCase, type ClassRoom, classCase } from './class-case.ts'
export { gramsPerMetre, powerCost, spoolUse } from './filament-use.ts'
export { leastGap, outlineAt } from './gaps.ts'
export { mostOnBed, placeTray } from './place-tray.ts'
export { OUTLINE_ERROR_MM, planOutline } from './plan-outline.ts'
export { planTray, TRAY_DEFAULTS, type TrayOptions, type TrayPlate, type TrayReport } from './plan-tray.ts'
export { bestPerPlate, goodApart, goodInTurn, goodTogether, hoursPerGood, trayRisk } from './risk.ts'
export { type TrayFacts, type TrayFigureFacts, trayFacts } from './tray-facts.ts'
export { orderTray, type TrayAnswer, type TrayFile, type TrayOrder } from './tray-order.ts'
export * from './types.ts'
