// Inks of the solid in pictures that are kept and on paper, whatever the page's own colours are.

export const LIGHT_INKS = { lit: '#fbf8ee', shade: '#8f9490', ink: '#1c2327', accent: '#00626b' } as const
