import { METHODS, SOILS } from './forms.ts'

/** What may be written of a plot's soil and of how it is watered, as keys of the catalogue. */
export const PLOT_WORDS = { soil: SOILS, method: METHODS }
