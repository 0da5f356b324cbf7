// The tables of the causal model: causes, symptoms with what brings them about, questions with what their answers say, changes.
//
// Chances are from memory of workshop practice, rough, no source: what matters is their order. A chance is that the cause, when it is
// there and alone, shows the symptom; "base" is how often it shows with none of the causes.

/** How likely each cause is before anything is known. */
export const CAUSES = {
  damp: { label: 'damp filament', prior: 0.1 },
  hot: { label: 'nozzle too hot', prior: 0.1 },
  cold: { label: 'nozzle too cold', prior: 0.07 },
  pressure: { label: 'pressure left inside the nozzle at travels', prior: 0.12 },
  surplus: { label: 'more plastic than there is room for', prior: 0.1 },
  lean: { label: 'flow share too low', prior: 0.05 },
  'feeds more': { label: 'feed that pushes more than it is told', prior: 0.05 },
  'feeds less': { label: 'feed that pushes less than it is told', prior: 0.05 },
  diameter: { label: 'filament of uneven or other diameter', prior: 0.05 },
  blocked: { label: 'nozzle partly blocked', prior: 0.05 },
  worn: { label: 'worn nozzle', prior: 0.04 },
  chewed: { label: 'filament chewed by the feed gear', prior: 0.05 },
  soft: { label: 'layers laid on plastic that is still soft', prior: 0.14 },
  air: { label: 'too little cooling air', prior: 0.08 },
  fast: { label: 'outer shell faster than the machine keeps steady', prior: 0.06 },
  loose: { label: 'slack belt or play in the frame', prior: 0.05 },
  hold: { label: 'poor hold on the bed', prior: 0.06 },
  melt: { label: 'more plastic asked for than can be melted', prior: 0.04 },
  linger: { label: 'outer shell so slow that the nozzle lingers', prior: 0.03 },
} as const satisfies Readonly<Record<string, { label: string; prior: number }>>
export type Cause = keyof typeof CAUSES
export const CAUSE_IDS = Object.keys(CAUSES) as Cause[]

export interface SymptomRow {
  readonly label: string
  readonly base: number
  readonly from: Readonly<Partial<Record<Cause, number>>>
}

export const SYMPTOMS = {
  strings: {
    label: 'strings between parts',
    base: 0.03,
    from: { damp: 0.8, hot: 0.65, pressure: 0.8, surplus: 0.4, worn: 0.3, 'feeds more': 0.25 },
  },
  blobs: {
    label: 'blobs and pimples on the skin',
    base: 0.03,
    from: { surplus: 0.7, 'feeds more': 0.6, pressure: 0.45, damp: 0.4, linger: 0.6, hot: 0.25 },
  },
  gaps: {
    label: 'gaps between beads',
    base: 0.03,
    from: { lean: 0.75, 'feeds less': 0.75, blocked: 0.6, diameter: 0.4, chewed: 0.4, melt: 0.5, cold: 0.3 },
  },
  parts: {
    label: 'layers part or snap easily',
    base: 0.04,
    from: { cold: 0.75, damp: 0.4, 'feeds less': 0.4, lean: 0.35, melt: 0.5, blocked: 0.4 },
  },
  melted: {
    label: 'thin parts lean, bulge or look melted',
    base: 0.02,
    from: { soft: 0.85, air: 0.65, hot: 0.35, linger: 0.2 },
  },
  rough: {
    label: 'rough or bubbly skin',
    base: 0.03,
    from: { damp: 0.65, fast: 0.35, cold: 0.3, 'feeds more': 0.3, worn: 0.35, linger: 0.4 },
  },
  'thin layers': {
    label: 'single layers thin or missing',
    base: 0.02,
    from: { chewed: 0.65, blocked: 0.6, diameter: 0.4, melt: 0.4, 'feeds less': 0.25 },
  },
  ripples: { label: 'ripples beside sharp edges', base: 0.03, from: { fast: 0.7, loose: 0.6 } },
  shifted: { label: 'layers shifted sideways', base: 0.01, from: { loose: 0.6, fast: 0.25, surplus: 0.15 } },
  sag: { label: 'spans sag, slopes come out ragged', base: 0.05, from: { air: 0.7, hot: 0.5, soft: 0.3 } },
  curl: { label: 'edges curl up while it prints', base: 0.04, from: { soft: 0.4, air: 0.45, hold: 0.4, hot: 0.2 } },
  'off the bed': { label: 'it came off the bed', base: 0.02, from: { hold: 0.85, surplus: 0.15 } },
  clicks: {
    label: 'the feed clicks, grinds or skips',
    base: 0.02,
    from: { blocked: 0.65, cold: 0.5, melt: 0.6, chewed: 0.45 },
  },
  wide: {
    label: 'walls thicker than planned',
    base: 0.04,
    from: { 'feeds more': 0.75, surplus: 0.5, diameter: 0.4, worn: 0.3 },
  },
  narrow: {
    label: 'walls thinner than planned',
    base: 0.04,
    from: { lean: 0.75, 'feeds less': 0.75, diameter: 0.4, blocked: 0.4 },
  },
} as const satisfies Readonly<Record<string, SymptomRow>>
export type Symptom = keyof typeof SYMPTOMS
export const SYMPTOM_IDS = Object.keys(SYMPTOMS) as Symptom[]

export interface QuestionToAsk {
  readonly ask: string
  /** 1 a look, 2 a measurement, 3 another print. */
  readonly effort: 1 | 2 | 3
  readonly answers: readonly string[]
  /** Share of the answers with none of the causes, and with one of them. */
  readonly base: readonly number[]
  readonly with: Readonly<Partial<Record<Cause, readonly number[]>>>
}

const yes = (share: number): readonly number[] => [share, 1 - share]
const YES_NO = ['yes', 'no'] as const

export const QUESTIONS_TO_ASK = {
  crackle: {
    ask: 'Push 50 mm of filament into the air: does it crackle or steam at the nozzle?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.03),
    with: { damp: yes(0.85) },
  },
  'open spool': {
    ask: 'Has the spool lain open for more than a week or two?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.35),
    with: { damp: yes(0.85) },
  },
  'feed mark': {
    ask: 'Mark the filament, ask the machine for 100 mm, slowly, and measure what passed the mark: under 97, 97 to 103, or over 103 mm?',
    effort: 2,
    answers: ['under', 'right', 'over'],
    base: [0.04, 0.92, 0.04],
    with: {
      'feeds less': [0.9, 0.09, 0.01],
      'feeds more': [0.01, 0.09, 0.9],
      blocked: [0.5, 0.48, 0.02],
      chewed: [0.4, 0.58, 0.02],
      cold: [0.15, 0.82, 0.03],
    },
  },
  diameter: {
    ask: 'Measure the filament at ten places over a metre, each in two directions: is any of them off the card by more than 0.03 mm?',
    effort: 2,
    answers: YES_NO,
    base: yes(0.06),
    with: { diameter: yes(0.9) },
  },
  'free flow': {
    ask: 'Push 20 mm slowly into the air: does it come out thin, curl hard to one side, or stop and start?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.05),
    with: { blocked: yes(0.85), worn: yes(0.3), damp: yes(0.2) },
  },
  'gear dust': {
    ask: 'Cold and switched off, look at the feed: is there dust, or are there bitten flat spots on the filament?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.06),
    with: { chewed: yes(0.9), blocked: yes(0.35), 'feeds less': yes(0.3), cold: yes(0.2) },
  },
  'thin parts only': {
    ask: 'Is it seen on thin parts only, while broad parts of the same print are fine?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.2),
    with: {
      soft: yes(0.92),
      air: yes(0.6),
      surplus: yes(0.35),
      pressure: yes(0.35),
      linger: yes(0.6),
      damp: yes(0.08),
      cold: yes(0.1),
      'feeds less': yes(0.08),
      'feeds more': yes(0.1),
    },
  },
  'kind of string': {
    ask: 'Are the strings thin as hairs and everywhere, or thick and from blob to blob?',
    effort: 1,
    answers: ['hairs', 'thick'],
    base: [0.5, 0.5],
    with: { damp: [0.75, 0.25], hot: [0.65, 0.35], pressure: [0.45, 0.55], surplus: [0.12, 0.88] },
  },
  'fan blows': {
    ask: 'Hold a strip of paper beside the nozzle with the fan full: does it blow at the place where plastic is laid?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.95),
    with: { air: yes(0.25) },
  },
  play: {
    ask: 'Cold and unplugged: does head or bed give when you wiggle it, or is a belt slack?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.06),
    with: { loose: yes(0.88) },
  },
  'nozzle life': {
    ask: 'Has this nozzle seen more than about 300 hours, or any filled filament (glowing, wood, metal)?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.2),
    with: { worn: yes(0.85), blocked: yes(0.35) },
  },
  'box wall': {
    ask: 'Print the one-shell box: is its wall more than 0.03 mm thinner, right, or more than 0.03 mm thicker than planned?',
    effort: 3,
    answers: ['thinner', 'right', 'thicker'],
    base: [0.06, 0.88, 0.06],
    with: {
      'feeds more': [0.01, 0.09, 0.9],
      'feeds less': [0.9, 0.09, 0.01],
      lean: [0.85, 0.14, 0.01],
      diameter: [0.35, 0.3, 0.35],
      blocked: [0.55, 0.43, 0.02],
      worn: [0.05, 0.55, 0.4],
    },
  },
  'two at once': {
    ask: 'Print two of it at once, well apart, so that each layer has longer to cool: is it gone?',
    effort: 3,
    answers: YES_NO,
    base: yes(0.1),
    with: { soft: yes(0.88), air: yes(0.55), hot: yes(0.25) },
  },
  'other spool': {
    ask: 'Print the same with a fresh, dry spool: is it gone?',
    effort: 3,
    answers: YES_NO,
    base: yes(0.08),
    with: { damp: yes(0.92), diameter: yes(0.85), chewed: yes(0.3) },
  },
  'clean bed': {
    ask: 'Has the bed been washed and its height set since the last hundred hours of printing?',
    effort: 1,
    answers: YES_NO,
    base: yes(0.6),
    with: { hold: yes(0.15) },
  },
} as const satisfies Readonly<Record<string, QuestionToAsk>>
export type AskId = keyof typeof QUESTIONS_TO_ASK
export const ASK_IDS = Object.keys(QUESTIONS_TO_ASK) as AskId[]
