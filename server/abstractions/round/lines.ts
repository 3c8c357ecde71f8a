import { addDays } from '../../../domain/calendar.ts'
import { type Fields, type ReadLine, type Register, readLine } from '../../book/register/register.ts'
import { LevelForm } from '../../water/level/forms.ts'
import { readingOfInput } from '../../water/level/input.ts'
import { addLevelReading, listReadings } from '../../water/level/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import { readForm } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { pumpReadingRegister } from '../../works/pump/reading-register.ts'
import { listPumps } from '../../works/pump/store.ts'
import { tankReadingRegister } from '../../works/tank/registers.ts'
import { listTanks, pumpReadings, tankReadings } from '../../works/tank/store.ts'

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
  read: (typed: Record<string, string>, head: RoundHead) => Promise<ReadLine>
}

export interface RoundHead {
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
  return (await listPumps(db, today)).map(({ id, number, name }) => {
    const last = read.findLast(({ pumpId }) => pumpId === id)
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
      read: byRegister(desk, pumpReadingRegister, { pumpId: id }),
    }
  })
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
      read: byRegister(desk, tankReadingRegister, { tankId: id }),
    }
  })
}

function byRegister<F extends Fields>(
  desk: Desk,
  register: Register<F>,
  of: Record<string, string>,
): RoundLine['read'] {
  return (typed, { moment, atTime }) =>
    readLine(register, { ...typed, ...of, moment, atTime, onDate: desk.today }, desk)
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
      read: levelOf(desk, id),
    }
  })
}

function levelOf(desk: Desk, weirId: string): RoundLine['read'] {
  return async (typed, { atTime }) => {
    const body = { ...typed, weirId, readOn: desk.today, readAt: atTime, readerId: desk.person.id }
    const form = readForm(LevelForm, body)
    if (!form.ok) return { ok: false, form }
    const read = readingOfInput(form.data, form, { timeZone: desk.timeZone, now: desk.at })
    if ('problem' in read) return { ok: false, form: read.problem }
    return { ok: true, write: (pen) => addLevelReading(pen, read.reading) }
  }
}
