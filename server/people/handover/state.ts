import { addDays } from '../../../domain/calendar.ts'
import { waitingForNames } from '../../book/name-needed.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { listComplaints } from '../complaint/store.ts'
import { rolesOf } from '../person/store.ts'
import { lastTerms } from './store.ts'

/** So long before its end a term is told on the first page. Own choice, no source. */
const TELL_BEFORE_DAYS = 30

/** Terms that end within a month or have ended, of whoever still holds that office. */
export async function endingTerms(db: Database, today: string) {
  const ending = (await lastTerms(db)).filter(({ untilOn }) => untilOn <= addDays(today, TELL_BEFORE_DAYS))
  const held = await Promise.all(
    ending.map(async (term) => (await rolesOf(db, term.personId, today)).includes(term.office)),
  )
  return ending.filter((_, at) => held[at])
}

/** Each pump's meter with what it was last seen to show, to be read again by both. */
export async function metersInWords({ db, t, format, today, parts }: Desk): Promise<string[]> {
  const last = new Map((await parts.people.lastMeterReadings(db, today)).map((one) => [String(one.pumpId), one]))
  return (await parts.people.pumpsOn(db, today)).map(({ id, number }) => {
    const seen = last.get(id)
    if (!seen) return t('handover.meter-unread', { number })
    return t('handover.meter', { number, reading: format.toLitre(seen.readingM3), date: format.date(seen.on) })
  })
}

/** All that is open on the day of a handover: complaints, what waits for a name, vouchers, cash that nobody counted. */
export async function openInWords({ db, t, format, parts }: Desk): Promise<string[]> {
  const complaints = (await listComplaints(db)).filter(({ isSettled }) => !isSettled).length
  const names = (await waitingForNames(db)).length
  const { unpaidVouchers, uncountedLines, countedOn } = await parts.people.openMoney(db)
  const counted = { 'open-complaints': complaints, 'open-names': names, 'open-vouchers': unpaidVouchers }
  const lines = Object.entries(counted).map(([key, count]) => (count > 0 ? t(`handover.${key}`, { count }) : null))
  const values = { count: uncountedLines, date: countedOn === null ? '' : format.date(countedOn) }
  if (uncountedLines > 0) lines.push(t(countedOn === null ? 'handover.open-cash-never' : 'handover.open-cash', values))
  return lines.filter((line) => line !== null)
}
