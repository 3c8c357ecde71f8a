export const USES = ['irrigation', 'drinking', 'stock', 'flushing', 'other'] as const

const MEASURES = ['meter', 'hours', 'bucket', 'tank', 'volume'] as const

/** How the screens ask for a measurement: a meter that was replaced in between is a way of its own. */
export const WAYS = ['meter', 'hours', 'volume', 'bucket', 'tank', 'replaced'] as const

export type Way = (typeof WAYS)[number]

export type Use = (typeof USES)[number]

export type Measure = (typeof MEASURES)[number]
