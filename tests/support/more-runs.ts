import fc from 'fast-check'
import { runs } from './runs.ts'

/** Properties that name no count are drawn a hundred times in the test line. */
fc.configureGlobal(runs(100))
