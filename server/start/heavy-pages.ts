/**
 * For each of these the book is read and worked through, after something was written, for more than 45 ms at a stretch where it holds ten seasons
 * or three hundred households (docs/performance.md). The first pages of every day stay where everybody is answered: whoever looks at one
 * keeps it warm for the others.
 */
export const HEAVY_PAGES: ReadonlySet<string> = new Set(
  `/crops /crops/season /crops/planting /crops/working/planting /crops/plots/:plotId
  /log/check /log/lines/drawn/:id /log/working/pumps
  /money/agree /money/agree/close /money/charges /money/price/reckon /money/report /paper/whole
  /turns/fair /turns/working/fair/:id /turns/working/measures
  /water/lasts /water/weirs/:id/check /water/went.csv /water/working/lasts/:id /water/working/went/:weirId/:fromOn`.split(
    /\s+/,
  ),
)

/** The way of a heavy page that shows what this process alone keeps in memory: the file of another device that waits for a second officer. */
export const SHOWN_HERE = 'joined'

/** Only while the week is a draft: nothing is worked out of one that is settled. */
export const HEAVY_DRAFTS = /^\/turns\/(weeks|working\/\w+)\/:start\b/
