// Heads in planes: skull, brow, sockets, nose, cheekbones, jaw. Modelled about the middle of the eye line, facing -y.

import { ball, blend, carve, chain, egg, type Field, half, join, limb, meet, mirrored, within } from './fields.ts'

export interface HeadOptions {
  /** 0 none, 1 full beard. */
  readonly beard?: boolean
  readonly moustache?: boolean
  /** How far hair falls at the back below the eye line, mm; 0 for none. */
  readonly hairLength?: number
  /** 1 broad and heavy, 0 fine. */
  readonly heavy: number
}

const both = (field: Field): Field => join(field, mirrored(field))

/** About 3.7 wide, 5 from chin to crown; scale it with `placed`. Ends in a neck towards -z. */
export const head = ({ beard = false, moustache = false, hairLength = 1.3, heavy }: HeadOptions): Field => {
  const w = 0.9 + 0.1 * heavy
  const skull = blend(
    0.5,
    egg([0, 0.4, 0.7], [1.78 * w, 2.1, 1.8]),
    egg([0, -0.35, -0.7], [1.35 * w, 1.5, 1.7]),
    limb([0, -1.25, -1.95], [0, -1.2, -1.9], 0.5 + 0.12 * heavy),
    both(egg([0.62 * w, -0.75, -1.15], [0.72, 0.8, 0.85])),
    both(limb([0.35, -1.15, -1.9], [1.05 * w, 0.2, -1.2], 0.42, 0.5)),
  )
  const planes = blend(
    0.4,
    skull,
    both(egg([0.95 * w, -1.0, -0.5], [0.55, 0.5, 0.42])),
    limb([-0.9 * w, -1.45, 0.48], [0.9 * w, -1.45, 0.48], 0.34 + 0.06 * heavy),
  )
  const sockets = carve(0.22, planes, both(egg([0.66, -1.95, -0.02], [0.46, 0.5, 0.34])))
  const eyes = blend(0.06, sockets, both(egg([0.66, -1.42, -0.03], [0.4, 0.36, 0.3])))
  const nose = blend(
    0.22,
    limb([0, -1.72, 0.3], [0, -2.18 - 0.2 * heavy, -0.66 - 0.06 * heavy], 0.2, 0.24 + 0.06 * heavy),
    both(ball([0.24 + 0.06 * heavy, -1.95, -0.76], 0.18 + 0.04 * heavy)),
  )
  const nosed = blend(0.18, eyes, nose)
  const mouth = carve(
    0.12,
    nosed,
    chain(
      [
        [-0.45 - 0.15 * heavy, -1.7, -1.36],
        [0, -1.92, -1.31],
        [0.45 + 0.15 * heavy, -1.7, -1.36],
      ],
      [0.09, 0.14, 0.09],
    ),
  )
  const lips = blend(
    0.12,
    mouth,
    limb([-0.22, -1.66, -1.56], [0.22, -1.66, -1.56], 0.19),
    limb([-0.25, -1.7, -1.1], [0.25, -1.7, -1.1], 0.16),
  )
  const ear = carve(
    0.15,
    egg([1.84 * w, 0.15, -0.25], [0.34, 0.52, 0.75]),
    egg([2.1 * w, -0.05, -0.2], [0.22, 0.26, 0.42]),
  )
  const neck = limb([0, 0.55, -1.6], [0, 0.8, -4.2], 1.15, 1.3)
  const bare = blend(0.3, blend(0.12, lips, both(ear)), neck)
  const hair: Field[] = []
  if (hairLength > 0) hair.push(hairField(w, hairLength))
  if (moustache)
    hair.push(
      both(
        chain(
          [
            [0.1, -2.1, -1.06],
            [0.65, -1.95, -1.22],
            [1.05, -1.6, -1.62],
          ],
          [0.3, 0.27, 0.12],
        ),
      ),
    )
  if (beard) hair.push(beardField(w))
  return within([0, 0.2, -0.9], 3.9, hair.length > 0 ? blend(0.1, bare, ...hair) : bare)
}

/** Full beard with locks: a mass under the cheekbones, grooved. */
const beardField = (w: number): Field => {
  const mass = blend(
    0.5,
    egg([0, -1.15, -2.0], [1.35 * w, 1.05, 1.15]),
    limb([0, -1.35, -2.2], [0, -1.5, -3.5], 0.95, 0.35),
    both(limb([1.35 * w, -0.2, -0.6], [0.95 * w, -0.9, -2.0], 0.36, 0.62)),
  )
  const grooved: Field = (x, y, z) => {
    const round = Math.atan2(x, 0.5 - y)
    const locks = Math.sin(13 * round + 1.2 * Math.sin(1.7 * z)) + 0.4 * Math.sin(7 * round - 1.6 * z + 1)
    return (mass(x, y, z) + 0.11 * locks) * 0.75
  }
  return carve(0.15, grooved, limb([-0.42, -2.3, -1.42], [0.42, -2.3, -1.42], 0.2))
}

/** Hair at the back and sides, combed in grooves. */
const hairField = (w: number, length: number): Field => {
  const mass = meet(
    0.2,
    blend(0.4, egg([0, 0.55, 0.55], [1.95 * w, 2.15, 1.85]), egg([0, 1.0, -0.2], [1.7 * w, 1.5, 1.5])),
    half([0, 0.1, 0.3], [0, -1, -0.55]),
    half([0, 0, -length], [0, 0.35, -1]),
  )
  return (x, y, z) => (mass(x, y, z) + 0.06 * Math.sin(6 * x + 4 * y + 0.8 * z)) * 0.85
}
