import type { FastifyInstance } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled } from '../../web/forms/forms.ts'
import { type Desk, pagesOf } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listTanks, tankDays } from '../../works/tank/store.ts'
import { tankRows, tankWords } from './day.ts'
import { TankDayForm } from './forms.ts'

const DAYS_SHOWN = 60

/** The tank and trough sheet: a line a day, and the same form as a screen. It stands behind the door of the works. */
export function addTankDayRoutes(app: FastifyInstance, parts: Parts): void {
  const { get, post } = pagesOf(app, parts)
  get('/log/lines/tank-day', 'abstractions.see', showDays)
  get('/log/round?as=tank-day', 'abstraction.log', newDay)
  post('/log/round?as=tank-day', 'abstraction.log', writeDay)
}

async function showDays(desk: Desk) {
  const { db, today } = desk
  const lines = await tankDays(db, { fromOn: addDays(today, -DAYS_SHOWN), toOn: today })
  const counted = await typedSentences(
    desk,
    lines.flatMap(({ ids }) => ids),
  )
  return page(desk, 'works/tank-days', {
    title: 'paper.tank-days.title',
    lines: lines.map((line) => ({ ...line, counted: line.ids.flatMap((id) => counted.get(id) ?? []) })),
    tanks: await listTanks(db),
    days: DAYS_SHOWN,
  })
}

async function newDay(desk: Desk) {
  const tanks = await listTanks(desk.db)
  const tankId = tanks.length === 1 ? tanks[0]!.id : ''
  return show(desk, emptyForm({ onDate: desk.today, tankId }))
}

async function writeDay(desk: Desk) {
  const take = await tankRows(desk)
  const line = await take((desk.body ?? {}) as Record<string, unknown>)
  if (!line.ok) return show(desk, line.form)
  return write(desk, line.write!, () => '/log/lines/tank-day')
}

async function show(desk: Desk, filled: Filled) {
  const { db, today } = desk
  return formPage(desk, {
    title: 'paper.tank-days.new',
    form: TankDayForm,
    filled,
    options: {
      ...(await tankWords(desk)),
      tankId: (await listTanks(db)).map(numberedOption),
      plotId: (await listPlots(db, today)).map(numberedOption),
    },
    action: '/log/round?as=tank-day',
    intro: ['paper.tank-days.how'],
    cautions: ['tank-turn.caution-climb', 'works.caution-night'],
    back: '/log/lines/tank-day',
  })
}
