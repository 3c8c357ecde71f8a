import { optionValue, type Seen } from '../../support/visitor.ts'
import { bookWithWeir, readLevel } from '../support.ts'

/**
 * A worked case (derived): 640 m3; 300 people x 15 L drink 4.5 m3 and crops 8.5 m3 a day; 54 days to the late rain and three
 * weeks beyond, six while guessed less the three for which water can be fetched: 75 days to carry. The sand loses at least
 * 0.003 of what it holds a day, so that V(n) = 0.997^n x 640 - 13 (1 - 0.997^n) / 0.003, and n days of drinking ask for
 * 4.5 (0.997^-n - 1) / 0.003 and half a cubic metre under the floor: 380 m3 for 75 days. The two meet on day 30 (211.3 and
 * 217.7 m3). With drinking alone 640 m3 last ln(1500 / 2140) / ln 0.997 = 118.3 days. The box of 15 x 2 x 200 m of sand holds 780 m3 at the crest by its likely yield of
 * 0.26, so 640 m3 stand at 2 x sqrt(640 / 780) = 1.8116 m: the stick reads 68.84 cm.
 */
export const BOX = { valleyShape: 'rectangle', bedSlope: '1' }
export const PEOPLE = { people: '300', pupils: '0', cattle: '0', donkeys: '0', goatsAndSheep: '0' }
export const PLAN = { weeklyPlan: '59.5', leakShare: '0', fromOn: '2026-06-01' }

export async function bookOf640(more: Record<string, string> = {}, depth = '68.84') {
  const book = await bookWithWeir({ ...BOX, ...more })
  const { ada } = book
  await readLevel(ada, 'Fig', { depth })
  const form = await ada.open('/water/kept/count')
  await ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...PEOPLE })
  await ada.fill('/water/settle/late-rain', { lateRainOn: '2026-07-28', wetRain: '10', fromOn: '2026-06-01' })
  await ada.fill('/water/settle/drinking-caution', {
    rememberedWeeks: '',
    elsewhere: 'three-weeks',
    fromOn: '2026-06-01',
  })
  return book
}

/** What stands beside a name in a list of facts. */
export function fact(page: Seen, name: string): string {
  const term = page.html.querySelectorAll('dt').find((one) => one.text.trim() === name)
  return term?.nextElementSibling?.text.trim() ?? ''
}
