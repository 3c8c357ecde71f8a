import { LITRES_PER_M3 } from '../../../domain/units.ts'
import { listSeals, setSeal, type WeekSeal } from '../../book/check/seal.ts'
import { namesByEntry } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'

/** The seal of a week, by which paper witnesses the book: any officer sets it, and another one puts a name under it. */
export function addSealPages({ get, post }: Pages): void {
  get('/paper/seals', 'book.export', showSeals)
  post('/paper/seals', 'book.export', writeSeal)
}

async function showSeals(desk: Desk) {
  const [last, ...earlier] = await listSeals(desk.db)
  const names = await namesByEntry(desk.db)
  const second = ({ id }: WeekSeal) => names.get(id)?.[0]?.name ?? null
  const { money } = moneyWords(desk.request.visit)
  return page(desk, 'paper/seals', {
    title: 'paper.seal.title',
    last: last && {
      ...shown(last),
      second: second(last),
      names: await namesShown(desk, last.id),
      drawnM3: last.drawnLitres / LITRES_PER_M3,
      received: desk.may('closing.see') ? money(last.receivedMinor) : null,
    },
    earlier: earlier.map((seal) => ({ ...shown(seal), second: second(seal) })),
  })
}

function shown(seal: WeekSeal) {
  return { ...seal, groups: seal.digits.match(/.{4}/g)! }
}

async function writeSeal(desk: Desk) {
  return write(desk, setSeal, () => '/paper/seals')
}
