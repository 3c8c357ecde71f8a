import { goByTold } from '../../book/clock.ts'
import { appendEntry } from '../../book/entries.ts'
import { anyWaits, NAME_NEEDED } from '../../book/name-needed.ts'
import { write } from '../../book/pen.ts'
import { date, time } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { hasSecondOfficer } from '../person/grave-store.ts'
import { moveSessions } from '../session/store.ts'

const ClockForm = defineForm('people.clock', { day: date(), hour: time() })

/** Nearer than this to what was told a machine is right that stands after a long rest, */
const RIGHT_MS = 24 * 3_600_000
/** and one that stands before the last entry. Own choice, no source. */
const MENDED_MS = 3_600_000

/** Which moment it is, while the machine cannot know. */
export function addClockPages({ get, post }: Pages): void {
  get('/people/settle/clock', 'level.record', (desk) => show(desk, emptyForm()))
  post('/people/settle/clock', 'level.record', tellClock)
}

async function tellClock(desk: Desk) {
  const { db, timeZone, clock, person, at, today } = desk
  if (clock.doubt === null) throw new PageError(409, 'people.clock.right')
  const form = readForm(ClockForm, desk.body)
  if (!form.ok) return show(desk, form)
  const toldAt = localInstant(form.data.day, form.data.hour, timeZone)
  if (toldAt === null) return show(desk, withError(form, 'hour', 'abstractions.draw.no-such-time'))
  const trueAt = new Date(toldAt)
  const { machineAt } = clock
  const isRight = Math.abs(trueAt.getTime() - machineAt.getTime()) < (clock.doubt === 'ahead' ? RIGHT_MS : MENDED_MS)
  const row = { machineAt: machineAt.toISOString(), toldAt }
  if (clock.lastAt !== null && toldAt < clock.lastAt) {
    if (!isRight) return show(desk, withError(form, 'day', 'people.clock.before-last'))
    if (await hasSecondOfficer(db, { writerId: person.id, personId: null, at, today }, 'level.record'))
      return askForName(desk, row)
  }
  await moveSessions(db, { at: clock.at, trueAt })
  if (!isRight) goByTold(db, { machineAt, trueAt })
  return write(
    { ...desk, at: isRight ? machineAt : trueAt, marksClock: !isRight },
    (pen) => appendEntry(pen, { kind: 'clock-told' }, { clockTold: [row] }),
    () => '/',
  )
}

/** That the clock had stood ahead, so that the time of the book goes back, nobody says alone: a turn that is over would be to come again. */
async function askForName(desk: Desk, row: { machineAt: string; toldAt: string }) {
  if (await anyWaits(desk.db, 'clock-told')) throw new PageError(409, 'people.clock.waits')
  return write(
    desk,
    (pen) => appendEntry(pen, { kind: 'clock-told' }, { clockTold: [row], ...NAME_NEEDED }),
    () => '/log/check',
  )
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.clock.title',
    form: ClockForm,
    filled,
    action: '/people/settle/clock',
    intro: ['people.clock.intro', 'people.clock.mend'],
    back: '/',
  })
}
