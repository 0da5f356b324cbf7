// Makes the figure from the sculpt: scale, stance, base, eye line.
// Question answered: how large is it and how does it stand. Model: section areas along the upright axis (divergence theorem); eye line
// at 0.936 of sole to crown (body measures, from memory), or from the neck under a hat. Limits: what is broad and held above the head counts as head; sitting
// figures need their eye line set.

export { FROM_Y_UP, rotationOf, UPRIGHT } from './stance.ts'
export { STAND_UP_DEFAULTS, type StandUpOptions, standUp } from './stand-up.ts'
export * from './types.ts'
