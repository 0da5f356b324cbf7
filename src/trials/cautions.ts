// Cautions, one table: short, specific, shown where they matter. Local rules and qualified help come first.

/** Where a caution is shown. */
export type CautionPlace = 'print' | 'coupon' | 'snap' | 'diagnose' | 'finish' | 'give away'

export interface Caution {
  readonly id: string
  readonly places: readonly CautionPlace[]
  readonly text: string
  /** Standard, paper, or "common practice, no source". */
  readonly source: string
}

const PRACTICE = 'common practice, no source'

export const CAUTIONS: readonly Caution[] = [
  {
    id: 'rules first',
    places: ['print', 'coupon', 'snap', 'diagnose', 'finish', 'give away'],
    text: 'Local rules, those of your school or workshop, and the makers of machine and filament come first; where they differ from this, follow them. In doubt ask somebody qualified.',
    source: PRACTICE,
  },
  {
    id: 'burns',
    places: ['print', 'coupon', 'diagnose'],
    text: 'Nozzle (about 200 deg C) and bed (60 deg C) burn at a touch: bare metal from about 65 deg C within a second. Let both cool before you reach in; clean a hot nozzle with tools only.',
    source: 'ISO 13732-1 (threshold from memory)',
  },
  {
    id: 'moving parts',
    places: ['print', 'coupon', 'diagnose'],
    text: 'Head and bed move without warning: fingers, hair and sleeves stay out while it runs. Switch off and unplug before you reach into the mechanics.',
    source: PRACTICE,
  },
  {
    id: 'unattended',
    places: ['print', 'coupon'],
    text: 'Stay near while it prints, with a smoke alarm in the room and nothing that burns beside the machine; a heater that runs away can start a fire.',
    source: PRACTICE,
  },
  {
    id: 'fumes',
    places: ['print', 'coupon'],
    text: 'Melted plastic gives off fine particles and vapour, more of both the hotter it is, and ABS about ten times as many as PLA: air the room, keep your head out of it, know the safety sheet of the filament.',
    source: 'Stephens et al., Atmos. Environ. 79 (2013); ANSI/CAN/UL 2904 for the method',
  },
  {
    id: 'snapping',
    places: ['snap'],
    text: 'Snapped ends fly and are sharp: eye protection for everybody at the table, the tip turned away from faces, pieces picked up at once.',
    source: PRACTICE,
  },
  {
    id: 'code is yours to check',
    places: ['coupon'],
    text: 'Look through the coupon before you run it: it assumes the bed begins at the front left corner at 0, 0 and that your card is right. Stay at the switch for the first layer.',
    source: PRACTICE,
  },
  {
    id: 'dry filament with care',
    places: ['diagnose'],
    text: 'Dry filament in a drier made for it; a kitchen oven overshoots, melts spools and is not for food afterwards.',
    source: PRACTICE,
  },
  {
    id: 'dust and blades',
    places: ['finish', 'diagnose'],
    text: 'Sand wet, with a mask, and wipe up: more dust is breathed in from finishing than from printing. Cut away from yourself, with a fresh blade, figure on a board.',
    source: 'Ann. Work Expo. Health (2021), four plants (abstract)',
  },
  {
    id: 'small parts',
    places: ['coupon', 'snap', 'give away'],
    text: 'Not for children under three: figures, coupons and pieces broken off fit into the small-parts cylinder (31.7 mm wide) and can choke.',
    source: '16 CFR 1501.4; EN 71-1',
  },
  {
    id: 'not for food',
    places: ['give away'],
    text: 'Never for food or the mouth: grooves hold dirt, brass nozzles hold some lead, additives are not known.',
    source: PRACTICE,
  },
]

/** Cautions for a place, in the order of the table. */
export const cautionsFor = (...places: readonly CautionPlace[]): readonly Caution[] =>
  CAUTIONS.filter((caution) => caution.places.some((place) => places.includes(place)))
