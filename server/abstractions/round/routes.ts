import { DateTime } from 'luxon'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import { type Filled, SURE } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { type Moment, type RoundLine, roundLines } from './lines.ts'

/** From this clock hour on the round is the evening's. */
const EVENING_FROM_HOUR = 12

/** The round at dawn or at dusk: every meter, tank and level on one page, written with one sending, all of them or none. */
export function addRoundPages({ get, post }: Pages): void {
  get('/log/round', 'abstraction.log', newRound)
  post('/log/round', 'abstraction.log', writeRound)
}

async function newRound(desk: Desk) {
  const now = DateTime.fromJSDate(desk.at, { zone: desk.timeZone })
  const moment = desk.query.moment ?? (now.hour < EVENING_FROM_HOUR ? 'dawn' : 'dusk')
  return show(desk, momentOf(moment), { values: { atTime: now.toFormat('HH:mm') }, errors: {} })
}

async function writeRound(desk: Desk) {
  const moment = momentOf(desk.posted('moment'))
  const lines = await roundLines(desk, moment)
  const values = typedOf(desk, lines)
  const sure = (desk.body as Record<string, unknown>)[SURE]
  const read = await Promise.all(lines.map((line) => readOf(line, { values, moment, sure })))
  const errors = Object.assign({}, ...read.map((one) => one.errors)) as Filled['errors']
  const writings = read.flatMap((one) => one.write ?? [])
  if (writings.length === 0 && Object.keys(errors).length === 0) {
    errors[''] = { key: 'abstractions.round.nothing', values: {} }
  }
  if (Object.keys(errors).length > 0) {
    return show(desk, moment, { values: { ...values, [SURE]: [sure ?? []].flat().map(String) }, errors })
  }
  return write(
    desk,
    async (pen) => {
      for (const writeLine of writings) await writeLine(pen)
    },
    () => '/',
  )
}

function momentOf(asked: unknown): Moment {
  return asked === 'dusk' ? 'dusk' : 'dawn'
}

function typedOf(desk: Desk, lines: readonly RoundLine[]): Record<string, string> {
  const names = ['atTime', ...lines.flatMap(({ id, fields }) => fields.map(({ name }) => nameOf(id, name)))]
  return Object.fromEntries(names.map((name) => [name, (desk.posted(name) ?? '').trim()]))
}

/** One name in the form of the round for a field of one line. */
function nameOf(lineId: string, field: string): string {
  return `${lineId}-${field}`
}

interface Typed {
  values: Record<string, string>
  moment: Moment
  sure: unknown
}

interface Read {
  errors: Filled['errors']
  write?: (pen: Pen) => Promise<unknown>
}

/** A line of which nothing was typed was not read. What is wrong stands beside its own field, or at the clock that all share. */
async function readOf(line: RoundLine, { values, moment, sure }: Typed): Promise<Read> {
  const typed = Object.fromEntries(line.fields.map(({ name }) => [name, values[nameOf(line.id, name)] ?? '']))
  if (Object.values(typed).every((value) => value === '')) return { errors: {} }
  const read = await line.read({ ...typed, [SURE]: sure }, { moment, atTime: values.atTime ?? '' })
  if (read.ok) return { errors: {}, ...(read.write ? { write: read.write } : {}) }
  const wrong = Object.entries(read.form.errors).map(([field, error]) => [
    field in typed ? nameOf(line.id, field) : 'atTime',
    error,
  ])
  return { errors: Object.fromEntries(wrong) }
}

const CAUTIONS: Record<Moment, string[]> = {
  dawn: ['water.caution-chamber', 'water.caution-flood', 'people.pump.caution-electric'],
  dusk: ['people.pump.caution-electric', 'tank-turn.caution-climb', 'works.caution-night'],
}

async function show(desk: Desk, moment: Moment, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const lines = await roundLines(desk, moment)
  return page(desk, 'abstractions/round', {
    title: `abstractions.round.${moment}`,
    moment,
    other: moment === 'dawn' ? 'dusk' : 'dawn',
    filled,
    wrong: Object.entries(filled.errors),
    lines: lines.map(({ id, kind, number, name, last, fields }) => ({
      picture: { pump: 'pump', tank: 'tank', weir: 'level' }[kind],
      heading: desk.t(`abstractions.round.${kind}`, { number, name }),
      last,
      fields: fields.map((field) => ({ name: nameOf(id, field.name), field: field.name, label: desk.t(field.label) })),
    })),
    cautions: CAUTIONS[moment],
  })
}
