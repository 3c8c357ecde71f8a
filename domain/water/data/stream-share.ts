import type { FigureStatus } from './specific-yield.ts'

/** What such weirs were found to hold of a year's flow: less than this part. */
export const YEARLY_FLOW_HELD: Readonly<{ belowPart: number; place: string; source: string; status: FigureStatus }> = {
  belowPart: 0.03,
  place: 'Kitui, Kenya',
  source: 'Lasage and others 2008, Physics and Chemistry of the Earth 33:67-73',
  status: 'verified',
}

/** Part of a permit's year at which a group is warned unless it sets its own. Common practice, no source. */
export const USUAL_WARN_PART = 0.8
