import { wholeWeekDays } from '../../../domain/weeks.ts'
import { seasonBalance } from '../../water/balance/state.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { listAbstractions } from '../draw/store.ts'
import { balanceCsv, drawsCsv } from './lists.ts'
import { stretchWorking } from './working.ts'

/** The season balance as a page and as a list, each row with its working; and every draw as a list. */
export function addBalancePages({ get }: Pages): void {
  get('/water/went', 'abstractions.see', showBalance)
  get('/water/went.csv', 'abstractions.see', sendBalance)
  get('/water/working/went/:weirId/:fromOn', 'abstractions.see', showStretch)
  get('/log/lines/drawn.csv', 'abstractions.see', sendDraws)
}

async function showBalance(desk: Desk) {
  const balance = await balanceOf(desk)
  return page(desk, 'abstractions/balance/page', {
    title: 'abstractions.balance.title',
    balance,
    bars: weirBars(desk, balance),
  })
}

/** Of the water that was or came into each weir, what was drawn; to one measure, so that weirs can be compared. */
function weirBars({ t, format: f }: Desk, { weirs }: Awaited<ReturnType<typeof balanceOf>>) {
  const said = weirs.filter(({ readings }) => readings >= 2)
  const most = Math.max(1, ...said.map(({ totals }) => totals.openingM3 + totals.rechargeM3))
  const part = (m3: number) => Math.round(Math.max(0, m3 / most) * 1000) / 10
  return said.map(({ weir, totals: { openingM3, rechargeM3, drawnM3, lossM3, unexplainedM3, closingM3 } }) => ({
    name: `${weir.number} ${weir.name}`,
    full: part(drawnM3),
    outline: part(openingM3 + rechargeM3),
    figure: t('abstractions.balance.bar-drawn', { volume: f.whole(drawnM3) }),
    under: t('abstractions.balance.bar-rest', {
      loss: f.volume(lossM3),
      unexplained: f.volume(unexplainedM3),
      still: f.volume(closingM3),
    }),
  }))
}

async function sendBalance(desk: Desk) {
  const balance = await balanceOf(desk)
  return sendCsv(desk.reply, `balance-${balance.toOn}`, writeCsv(balanceCsv(balance, desk.t)))
}

async function showStretch(desk: Desk<'weirId' | 'fromOn'>) {
  const { params, t, format: f } = desk
  const balance = await balanceOf(desk)
  const ofWeir = found(balance.weirs.find((one) => one.weir.id === params.weirId))
  const stretch = found(ofWeir.stretches.find((one) => one.fromOn === params.fromOn))
  return workingPage(desk, stretchWorking({ balance, ofWeir, stretch, t, f }))
}

async function sendDraws({ db, reply, group, today, t }: Desk) {
  const draws = await listAbstractions(db, { fromOn: group.seasonStartOn, toOn: group.seasonEndOn })
  return sendCsv(reply, `abstractions-${today}`, writeCsv(drawsCsv(draws, t)))
}

function balanceOf({ db, group, today, parts }: Desk) {
  return seasonBalance(db, parts.water, { group, on: today, daysInWeek: wholeWeekDays(today, group) })
}
