import { expect, it } from 'vitest'
import { settingLines } from '../../../server/crops/need/setting-lines.ts'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { loadLocale } from '../../../server/web/figures/locale.ts'

const { t } = loadLocale('en')
const bare = { climate: null, climateMissing: false, wetting: null, kcIniByWetting: null, mulch: null }
const defaults = { rainRule: null, monthTable: null, mostTurns: null, saltWashing: null }
const values = (settings: object, local: object) => {
  const need = { gauge: null, settings: { ...defaults, ...settings }, plans: [{ local: { ...bare, ...local } }] }
  return settingLines(need as never, t, makeFormat('en', 'UTC')).map(({ value }) => value)
}

it('a need tells of what the group settled on and what lies on the ground, and of nothing that is as ever', () => {
  expect(values({}, {})).toEqual([])
  expect(values({ saltWashing: { fraction: 0, fromOn: '2026-06-01' } }, {})).toEqual([])
  expect(values({}, { mulch: { kind: 'none', coverFraction: 0.4 } })).toEqual([])
  expect(values({}, { mulch: { kind: 'straw', coverFraction: 0.4 } })).toEqual([expect.stringMatching(/straw.*40%/)])
  expect(values({ saltWashing: { fraction: 0.15, fromOn: '2026-06-01' } }, {})).toEqual(['15%'])
  expect(values({ mostTurns: { turns: 3, fromOn: '2026-06-01' } }, {})).toEqual(['3'])
  expect(values({}, { wetting: { days: 4, depthMm: 20, wettedFraction: 0.3 }, kcIniByWetting: 0.42 })).toEqual(['0.42'])
  expect(values({}, { wetting: { days: 4, depthMm: 20, wettedFraction: 0.3 }, kcIniByWetting: null })).toEqual([])
})
