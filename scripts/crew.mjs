// Makes the demo crew anew in dist/crew.
import { buildParts } from './build.mjs'

await buildParts(['node'], { ifNeeded: true })
await buildParts(['crew'])
