// The night ferry's crew: who they are. Light on purpose, so that bench and command can list them without the modelling.

/** One figure of the demo crew. */
export interface CrewMember {
  readonly id: 'keeper' | 'lamplighter' | 'passenger' | 'ferry-dog'
  readonly name: string
  /** Who it is and what it shows, one sentence. */
  readonly story: string
  /** File name in the folder that the crew is built into. */
  readonly file: string
  /** Height of the eye line above the sole, mm. */
  readonly soleToEyeMm: number
}

/** The crew in the order they are shown. Every base is 25 mm across and 3 mm high; they face -y and stand on z = 0. */
export const CREW: readonly CrewMember[] = [
  {
    id: 'keeper',
    name: 'The keeper',
    story:
      'He has worked the night ferry for thirty years, one hand on his belt, the other on a boat-hook 1.2 mm thick.',
    file: 'keeper.ply',
    soleToEyeMm: 28,
  },
  {
    id: 'lamplighter',
    name: 'The lamplighter',
    story:
      'Late for the last lamp: the lantern swings in mid air, the scarf streams off thinner than a bead, and there is a hole in the coat.',
    file: 'lamplighter.ply',
    soleToEyeMm: 28,
  },
  {
    id: 'passenger',
    name: 'The passenger',
    story:
      'She waits with umbrella and trunk and has never been put together: thirty-five closed shells that only overlap.',
    file: 'passenger.ply',
    soleToEyeMm: 28,
  },
  {
    id: 'ferry-dog',
    name: 'The ferry dog',
    story: 'It sits on the coiled mooring rope, tail up, and lets nobody aboard without being looked at.',
    file: 'ferry-dog.ply',
    soleToEyeMm: 13.9,
  },
]
