import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { nextWeekOn, weeksFromTo } from '../../../domain/weeks.ts'
import { worksOn } from '../../abstractions/place/store.ts'
import { listPayers } from '../../fees/payer/store.ts'
import { listReceiptBooks } from '../../fees/receipt/book-store.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Mark, Marks } from '../../web/forms/sheet.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { listTanks } from '../../works/tank/store.ts'

/** The numbers on the plates: an outlet by its own, a pump with P before it, a weir that is drawn by hand with W. */
export async function marksOf({ db, group, today, t }: Desk): Promise<Marks> {
  const { weirs, pumps, outlets } = await worksOn(db, today)
  const plain = (prefix = '', kind = '') => {
    return ({ id, number, name }: { id: string; number: number; name: string }): Mark => ({
      value: `${kind}${id}`,
      mark: `${prefix}${number}`,
      label: name,
    })
  }
  const persons = (await listPersons(db)).map(plain())
  const place = [
    ...outlets.map(plain('', 'outlet:')),
    ...pumps.map(plain('P', 'pump:')).map((one) => ({ ...one, label: t('paper.at-pump', { name: one.label }) })),
    ...weirs.map(plain('W', 'weir:')).map((one) => ({ ...one, label: t('paper.by-hand', { name: one.label }) })),
  ]
  const payers = [...(await listPayers(db)).values()].map(({ personId, ...payer }) => ({ ...payer, id: personId }))
  return {
    place,
    takerId: persons,
    readerId: persons,
    askerId: persons,
    payerId: payers.map(plain()).toSorted((a, b) => Number(a.mark) - Number(b.mark)),
    bookId: (await listReceiptBooks(db)).map(({ id, name, firstNumber, lastNumber }) => {
      return { value: id, mark: name, label: `${firstNumber}–${lastNumber}` }
    }),
    tankId: (await listTanks(db)).map(plain()),
    weekStartOn: weeksToAskFor(group, today),
    plotId: (await listPlots(db, today)).map(plain()),
    outletId: (await listOutlets(db, today)).map(plain()),
    pumpId: pumps.map(plain()),
    weirId: weirs.map(plain()),
  }
}

/** Every week of the season up to the next one: a booking list may be typed in late. */
function weeksToAskFor(group: Group, today: CalendarDate): Mark[] {
  const fromOn = [group.seasonStartOn, today].toSorted()[0]!
  return weeksFromTo(fromOn, nextWeekOn(today, group), group).map(({ startOn }) => {
    return { value: startOn, mark: startOn, label: '' }
  })
}
