import { TURN_RULES } from '../../../domain/rotation/draft/limits.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { typedDay } from '../day-in-week.ts'
import { pumpLines } from '../pump-flow/pages.ts'
import { addCustomPages } from './custom-routes.ts'
import { customsOn } from './custom-store.ts'
import { addHoursPages, mayWriteHours } from './hours-routes.ts'
import { noTurnHoursOn } from './hours-store.ts'
import { addLengthPages } from './length-routes.ts'
import { turnLengthsOn } from './length-store.ts'
import { addLinePages } from './line-routes.ts'
import { fillingMinutesOn, linePositionsOn, notTogetherOn } from './line-store.ts'
import { addNoTurnDayPages } from './no-turn-routes.ts'
import { noTurnDays } from './no-turn-store.ts'

/** What the turns go by besides water: pumps and skies, people's hours, lines, lengths, days without turns. */
export function addConstraintPages(pages: Pages): void {
  pages.get('/works', 'turns.see', showConstraints)
  addHoursPages(pages)
  addCustomPages(pages)
  addLinePages(pages)
  addLengthPages(pages)
  addNoTurnDayPages(pages)
}

async function showConstraints(desk: Desk) {
  const { db, today } = desk
  const outlets = await listOutlets(db, today)
  const outletOf = (id: string) => outlets.find((outlet) => outlet.id === id)!
  const pumps = await pumpLines(db, today)
  const filling = await fillingMinutesOn(db, today)
  const positions = await linePositionsOn(db, today)
  return page(desk, 'rotation/constraints', {
    title: 'constraint.grounds-title',
    lengths: { ...TURN_RULES, ...(await turnLengthsOn(db, today)) },
    pumps,
    hours: (await noTurnHoursOn(db, today, '9999-12-31')).map((one) => ({
      ...one,
      day: typedDay(one),
      mayEnd: mayWriteHours(desk, one.personId),
    })),
    noTurnDays: (await noTurnDays(db, today, '9999-12-31')).map((one) => ({
      ...one,
      pump: pumps.find(({ pump }) => pump.id === one.pumpId)?.pump ?? null,
    })),
    customs: (await customsOn(db, today, '9999-12-31')).map((one) => ({ ...one, day: typedDay(one) })),
    placed: (await listPlots(db, today)).flatMap((plot) => {
      const position = positions[plot.id]
      return position === undefined ? [] : [{ ...plot, position }]
    }),
    filling: Object.entries(filling).map(([id, minutes]) => ({ outlet: outletOf(id), minutes })),
    pairs: (await notTogetherOn(db, today)).map((pair) => pair.map(outletOf)),
  })
}
