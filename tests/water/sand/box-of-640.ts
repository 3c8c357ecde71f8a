import { optionValue, type Seen } from '../../support/visitor.ts'
import { bookWithWeir, readLevel } from '../support.ts'

/**
 * A worked case (derived): 640 m3; people and stock 3.2, irrigation 8.5, loss 1.3 m3 a day, 75 days to the rain. A loss that
 * stays the same is drunk here: 300 people x 15 L = 4.5 m3 a day. Reserve 337.5 m3; (640 - 337.5) / 8.5 = 35.6 days with
 * irrigation, 640 / 4.5 = 142.2 without. The box of 15 x 2 x 200 m of sand holds 780 m3 at the crest by its likely yield of
 * 0.26, so 640 m3 stand at 2 x sqrt(640 / 780) = 1.8116 m: the stick reads 68.84 cm.
 */
export const BOX = { valleyShape: 'rectangle', bedSlope: '1' }
export const PEOPLE = { people: '300', pupils: '0', cattle: '0', donkeys: '0', goatsAndSheep: '0' }
export const PLAN = { weeklyPlan: '59.5', leakShare: '0', fromOn: '2026-06-01' }

export async function bookOf640(more: Record<string, string> = {}, depth = '68.84') {
  const book = await bookWithWeir({ ...BOX, ...more })
  const { ada } = book
  await readLevel(ada, 'Fig', { depth })
  const form = await ada.open('/water/reserve/new')
  await ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...PEOPLE })
  await ada.fill('/water/water-settings/new', { lateRainOn: '2026-08-18', wetRain: '10', fromOn: '2026-06-01' })
  return book
}

/** What stands beside a name in a list of facts. */
export function fact(page: Seen, name: string): string {
  const term = page.html.querySelectorAll('dt').find((one) => one.text.trim() === name)
  return term?.nextElementSibling?.text.trim() ?? ''
}
