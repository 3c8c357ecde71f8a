import type { CalendarDate } from '../../../domain/calendar.ts'
import { drawingOf, type Mark, markKey, type PictureKey } from '../../../domain/people/mark/pictures.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import type { Locale } from '../../web/figures/locale.ts'
import type { Marks } from '../../web/pages/page.ts'
import { allRoles } from '../person/store.ts'
import { holderIdsOn } from '../plot/store.ts'
import { markFacts } from './store.ts'
import { marksOn } from './taken.ts'

const OFFICES = ['committee', 'attendant', 'treasurer', 'auditor']

/** The marks of everybody on a day, for one page. */
export async function marksShown(db: Database, on: CalendarDate, { t }: Locale): Promise<Marks> {
  const known = await marksKept(db, on)
  const used = new Map<string, Mark>()
  const of = (personId: string) => {
    const mark = known.byPerson.get(personId)
    if (!mark) return null
    const key = markKey(mark)
    used.set(key, mark)
    return { key, words: markWords(t, mark) }
  }
  const holders = (plotId: string) => known.holders.get(plotId) ?? []
  return {
    of,
    ofPlot: (plotId) => holders(plotId).flatMap((personId) => of(personId) ?? []),
    isOfficers: (plotId) => holders(plotId).some((personId) => known.officers.includes(personId)),
    drawn: () => [...used.values()].map(drawingOf),
  }
}

/** The pictures that somebody goes by on a day, each once. */
export async function inUse(db: Database, on: CalendarDate): Promise<PictureKey[]> {
  const { byPerson } = await marksKept(db, on)
  return [...new Set([...byPerson.values()].map(({ picture }) => picture))]
}

/** Who goes by which mark on a day, and who holds each plot. */
export function marksKept(db: Database, on: CalendarDate) {
  return kept(db, 'marks', on, () => readMarks(db, on))
}

/** How a mark is said aloud: the fish in the ring. */
export function markWords(t: Locale['t'], { picture, frame }: Mark): string {
  return t(`mark.${frame}`, { picture: t(`mark.picture.${picture}`) })
}

async function readMarks(db: Database, on: CalendarDate) {
  const roles = await allRoles(db, on)
  return {
    byPerson: marksOn(await markFacts(db), on),
    holders: await holderIdsOn(db, on),
    officers: [...roles].filter(([, own]) => own.some((role) => OFFICES.includes(role))).map(([id]) => id),
  }
}
