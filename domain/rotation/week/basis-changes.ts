import type { Id } from '../../id.ts'
import type { WeekInputs, WeekPlot } from './inputs.ts'

/** What a plot's share is reckoned by, or who has it: one thing that is not as it was. */
export interface BasisChange {
  plotId: Id<'plot'>
  what: 'areaM2' | 'shares' | 'persons' | 'holders' | 'isNew'
  /** Land in m2, shares and persons as counts, holders by name; null for a plot that was not there. */
  was: string | number | null
  is: string | number
}

/** An entry on which such a line rests: who wrote it, and how many other names stand under it. */
export interface BasisEntry {
  id: string
  writerId: Id<'person'>
  names: number
}

const FIGURES = ['areaM2', 'shares', 'persons'] as const

/**
 * Where the plots of a draft differ from those of an earlier week: land, shares, people who live from it and holders, in the order of
 * the plots. Whoever publishes sees it, so that nobody's part grows in silence. The group's own rule, common practice, no source.
 */
export function basisChanges(before: Pick<WeekInputs, 'plots'>, now: Pick<WeekInputs, 'plots'>): BasisChange[] {
  return now.plots.flatMap((plot): BasisChange[] => {
    const earlier = before.plots.find(({ id }) => id === plot.id)
    if (!earlier) return [{ plotId: plot.id, what: 'isNew', was: null, is: plot.areaM2 }]
    const figures = FIGURES.filter((what) => earlier[what] !== plot[what]).map((what) => ({
      plotId: plot.id,
      what,
      was: earlier[what],
      is: plot[what],
    }))
    const [was, is] = [namesOf(earlier), namesOf(plot)]
    return was === is ? figures : [...figures, { plotId: plot.id, what: 'holders', was, is }]
  })
}

/**
 * The lines that one person alone answers for: one of their entries is this person's and has no second name. Whoever wrote what parts
 * are reckoned by does not publish by it alone. The group's own rule, no source.
 */
export function writtenAlone<Line extends { entries: readonly BasisEntry[] }>(
  lines: readonly Line[],
  writerId: Id<'person'>,
): Line[] {
  return lines.filter(({ entries }) => entries.some((entry) => entry.writerId === writerId && entry.names === 0))
}

function namesOf({ holders }: WeekPlot): string {
  return holders.toSorted().join(', ')
}
