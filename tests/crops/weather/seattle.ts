import { join } from 'node:path'
import { projectFolder } from '../../../server/project-folder.ts'

/**
 * Daily records of Seattle-Tacoma airport, 2012 to 2015, from NOAA (US National Centers for Environmental Information), as the
 * npm package `vega-datasets` 3.2.1 carries them in `data/seattle-weather.csv`: date, precipitation mm, highest and lowest
 * temperature °C, wind m/s, weather.
 */
export const SEATTLE_FILE = join(projectFolder(), 'node_modules/vega-datasets/data/seattle-weather.csv')

/** How the form is told of its headings. */
export const SEATTLE_COLUMNS = { onDate: 'date', tmaxC: 'temp_max', tminC: 'temp_min', rainMm: 'precipitation' }
