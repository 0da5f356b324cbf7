// Property tests draw the same cases on every machine; FETTLE_SEED=N draws others, to look for new trouble.

import fc from 'fast-check'

fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(process.env.FETTLE_SEED ?? 20261125) })
