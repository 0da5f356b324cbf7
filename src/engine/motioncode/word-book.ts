// Which words are carried out, which have no effect on where and when plastic is laid, and which are left aside with what that does.

/** Modal groups of G words (NIST IR 6556, table 4); two of one group on a line contradict each other. Codes are times ten. */
export const G_GROUP = new Uint8Array(1000)
const group = (number: number, codes: readonly number[]): void => {
  for (const code of codes) G_GROUP[code] = number
}
group(1, [0, 10, 20, 30, 50, 51, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890])
group(2, [170, 180, 190])
group(3, [900, 910])
group(5, [930, 940])
group(6, [200, 210])
group(7, [400, 410, 420])
group(8, [430, 490])
group(10, [980, 990])
group(12, [540, 550, 560, 570, 580, 590, 591, 592, 593])
group(13, [610, 611, 640])

/** G words without effect here: they state what holds anyway. */
export const G_WITHOUT_EFFECT = new Set([400, 490, 540, 610, 611, 640, 800, 980, 990])
/** M words without effect on beads and time. */
export const M_WITHOUT_EFFECT = new Set([
  0, 10, 30, 40, 50, 60, 70, 80, 90, 170, 180, 480, 490, 600, 840, 1050, 1100, 1150, 4000,
])

/** Words that set something that is not followed. */
export const NOT_FOLLOWED: Readonly<Record<string, string>> = {
  G10: 'draws filament back by a length set in the machine: retraction and its time are not counted',
  'G10 L': 'sets a coordinate system: coordinates are taken as written',
  G11: 'pushes filament again by a length set in the machine: retraction and its time are not counted',
  G29: 'the machine probes its bed: that time is not counted',
  G30: 'a move to a stored or probed place: not made, the next move begins where the last one ended',
  G41: 'tool radius compensation: paths are taken as written',
  G42: 'tool radius compensation: paths are taken as written',
  G43: 'tool length offset: heights are taken as written',
  G53: 'machine coordinates for one line: taken as ordinary coordinates',
  G55: 'another coordinate system: coordinates are taken as written',
  G56: 'another coordinate system: coordinates are taken as written',
  G57: 'another coordinate system: coordinates are taken as written',
  G58: 'another coordinate system: coordinates are taken as written',
  G59: 'another coordinate system: coordinates are taken as written',
  'G92.3': 'restores stored offsets: coordinates keep the present ones',
  M200: 'filament words may mean volumes: they are taken as lengths, so widths may be wrong',
  M201: 'acceleration limits of the axes: those of the printer card are used, the time may differ',
  M203: 'speed limits of the axes: those of the printer card are used, the time may differ',
  M206: 'shifts the origin: coordinates are taken as written',
  M207: 'length of retraction by the machine: not counted',
  M208: 'length of recovery by the machine: not counted',
  M566: 'corner speed in another form: that of the recipe is used, the time may differ',
  M593: 'smoothing against vibration: not modelled, the time may differ slightly',
}

/** The name of a code times ten, e.g. "G92.1". */
export const wordName = (letter: string, code: number): string =>
  code % 10 === 0 ? `${letter}${code / 10}` : `${letter}${Math.floor(code / 10)}.${code % 10}`
