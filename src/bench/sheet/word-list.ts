// Words of the sheet that someone new may not know, each in a sentence.

export const WORDS: readonly (readonly [string, string])[] = [
  ['bead', 'the strand of plastic that the nozzle lays; its width is what it measures across once laid'],
  ['shell', 'a closed bead that runs round an outline; the outer shell is the one that is seen'],
  ['infill', 'beads that cross inside the shells; its share says how full the inside is'],
  ['cap', 'closed layers over and under the infill'],
  ['gap bead', 'a single bead in a gap too narrow for two'],
  ['prop', 'a thin pillar printed along under what has nothing below it, and broken off afterwards'],
  ['overhang', 'a part of a layer that lies beyond the layer below; a span is held at both ends'],
  ['stance', 'how the figure stands, leans or lies on the bed'],
  ['scale height', 'millimetres from the soles to the eye line, as figures are named: 28, 32'],
  ['height log', 'the tracks of numbers beside the figure, along its own height'],
  ['least layer time', 'the shortest time that a layer may take, so that it can set before the next'],
  ['softens again', 'plastic already laid that is heated above its softening temperature by what comes later'],
  ['surplus', 'plastic laid where there is no room for it; it swells out, or is dragged along'],
  ['thread', 'a hair of plastic left behind where the nozzle travels over air'],
  ['retraction', 'filament drawn back before such a travel; the feed gear wears what passes it too often'],
  ['priming loop', 'a bead laid beside the figure first, so that the nozzle is full when it begins'],
  ['trial, coupon', 'a test print with one change; a small test piece for one question'],
  ['flow share', 'how much plastic is pushed out, as a share of what the beads would hold'],
]
