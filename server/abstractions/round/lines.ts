import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import { levelBook } from '../../water/level/paper.ts'
import { listReadings } from '../../water/level/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PaperBook, TakenRow } from '../../web/pages/paper-book.ts'
import { pumpReadingBook } from '../../works/pump/paper.ts'
import { listPumps } from '../../works/pump/store.ts'
import { tankReadingBook } from '../../works/tank/paper.ts'
import { listTanks, pumpReadings, tankReadings } from '../../works/tank/store.ts'
import { type MeterRead, meterReadsOf } from '../draw/meter-store.ts'

export type Moment = 'dawn' | 'dusk'

/** So far back a last reading is looked for, days. */
const LOOK_BACK_DAYS = 60

/** One thing that is read on the round, with the figures to write for it. */
export interface RoundLine {
  id: string
  kind: 'pump' | 'tank' | 'weir'
  number: number
  name: string
  /** The last reading in words; null where there is none. */
  last: string | null
  /** The fields of its own form that the round asks, each with the key of its label. */
  fields: readonly { name: string; label: string }[]
  read: (typed: Record<string, unknown>, head: RoundHead) => Promise<TakenRow>
}

interface RoundHead {
  moment: Moment
  atTime: string
}

/** What is read at dawn: every meter, tank and level; at dusk the meters and the tanks. */
export async function roundLines(desk: Desk, moment: Moment): Promise<RoundLine[]> {
  const lines = [...(await pumpLines(desk)), ...(await tankLines(desk))]
  return moment === 'dawn' ? [...lines, ...(await weirLines(desk))] : lines
}

async function pumpLines(desk: Desk): Promise<RoundLine[]> {
  const { db, today, t, format } = desk
  const read = await pumpReadings(db, { fromOn: addDays(today, -LOOK_BACK_DAYS), toOn: today })
  const pumps = await listPumps(db, today)
  const closings = await meterReadsOf(
    db,
    pumps.map(({ id }) => id),
  )
  return pumps.map(({ id, number, name }) => {
    const last = laterOf(
      read.findLast(({ pumpId }) => pumpId === id),
      closings.get(id)?.at(-1),
    )
    return {
      id: `pump-${id}`,
      kind: 'pump',
      number,
      name,
      last: last
        ? t('abstractions.round.last', { reading: format.toLitre(last.reading), date: format.date(last.on) })
        : null,
      fields: [
        { name: 'meter', label: 'abstractions.pump-reading.meter' },
        { name: 'hourMeter', label: 'abstractions.pump-reading.hourMeter' },
      ],
      read: byBook(desk, pumpReadingBook, { pumpId: id }),
    }
  })
}

/** What the meter showed last: on the round, or when a turn ended or it was hung. Of one day, dawn comes first and dusk last. */
function laterOf(
  round: { on: CalendarDate; moment: string; reading: number } | undefined,
  closing: MeterRead | undefined,
): { on: CalendarDate; reading: number } | undefined {
  const isLater =
    closing && (!round || closing.onDate > round.on || (closing.onDate === round.on && round.moment === 'dawn'))
  return isLater ? { on: closing.onDate, reading: closing.closingM3 } : round
}

async function tankLines(desk: Desk): Promise<RoundLine[]> {
  const { db, today, t, format } = desk
  const read = await tankReadings(db, { fromOn: addDays(today, -LOOK_BACK_DAYS), toOn: today })
  return (await listTanks(db)).map(({ id, number, name }) => {
    const last = read.findLast(({ tankId }) => tankId === id)
    return {
      id: `tank-${id}`,
      kind: 'tank',
      number,
      name,
      last: last
        ? t('abstractions.round.last-cm', { reading: format.whole(last.reading * 100), date: format.date(last.on) })
        : null,
      fields: [{ name: 'level', label: 'abstractions.tank-reading.level' }],
      read: byBook(desk, tankReadingBook, { tankId: id }),
    }
  })
}

/** Read as a row of its own book would be, with the round's day and clock by each book's own names. */
function byBook(desk: Desk, book: PaperBook, of: Record<string, string>): RoundLine['read'] {
  return async (typed, { moment, atTime }) => {
    const take = await book.typing.rows(desk)
    return take({ ...typed, ...of, moment, atTime, onDate: desk.today, readOn: desk.today, readAt: atTime })
  }
}

async function weirLines(desk: Desk): Promise<RoundLine[]> {
  const { db, today, t, format } = desk
  if (!desk.may('level.record')) return []
  const read = await listReadings(db, { fromOn: addDays(today, -LOOK_BACK_DAYS), toOn: today })
  return (await listWeirs(db)).map(({ id, number, name }) => {
    const last = read.findLast(({ weirId }) => weirId === id)
    return {
      id: `weir-${id}`,
      kind: 'weir',
      number,
      name,
      last: last
        ? t('abstractions.round.last-cm', { reading: format.one(last.depthCm), date: format.date(last.readOn) })
        : null,
      fields: [{ name: 'depth', label: 'water.level.depth' }],
      read: byBook(desk, levelBook, { weirId: id, readerId: desk.person.id }),
    }
  })
}
