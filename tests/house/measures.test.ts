import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'
import { MEASURES } from './map/measures.ts'
import { houseOf, readHouse } from './map/reading/house.ts'

const house = readHouse(projectFolder())

describe('the house', () => {
  it.each(MEASURES)('has no $says', ({ find }) => {
    const places = find(house).map(({ file, line, says }) => `${file}${line ? `:${line}` : ''} ${says}`)
    expect(places).toEqual([])
  })
})

const lines = (count: number) => `${"'x'\n".repeat(count)}`

/** For each measure a house in which one place breaks its rule. */
const BROKEN: Record<string, Record<string, string>> = {
  circles: {
    'domain/water/a.ts': "import type { B } from './b.ts'\nexport type A = B",
    'domain/water/b.ts': "import type { A } from './a.ts'\nexport type B = A",
  },
  pairs: {
    'server/water/sand/store.ts': "import { b } from '../weir/words.ts'\nb()",
    'server/water/sand/words.ts': 'export const a = () => 1',
    'server/water/weir/words.ts': 'export const b = () => 1',
    'server/water/weir/store.ts': "import { a } from '../sand/words.ts'\na()",
  },
  reaches: {
    'server/fees/charge/routes.ts':
      "import { a } from '../../water/weir/store.ts'\nimport { b } from '../../water/weir/words.ts'\na(b)",
    'server/water/weir/store.ts': 'export const a = String',
    'server/water/weir/words.ts': "export const b = 'b'",
  },
  order: {
    'server/water/weir/store.ts':
      "import { a } from '../../people/store.ts'\nimport { b } from '../../fees/store.ts'\na(b)",
    'server/people/store.ts': 'export const a = String',
    'server/fees/store.ts': "export const b = 'b'",
  },
  halls: {
    'server/web/page.ts': "import { a } from '../people/store.ts'\na()",
    'server/people/store.ts': 'export const a = () => 1',
  },
  folders: Object.fromEntries(Array.from({ length: 15 }, (_, at) => [`domain/water/f${at}.ts`, ''])),
  files: { 'domain/water/a.ts': lines(251), 'domain/water/b.ts': lines(250) },
  functions: {
    'server/a.ts': `export const a = () => {\n${lines(69)}}\nfunction addRoutes() {\n${lines(68)}}\na(addRoutes)`,
  },
  templates: { 'views/a.eta': lines(81), 'views/b.eta': lines(80) },
  'template-lines': { 'views/a.eta': `${'x'.repeat(161)}\n${'x'.repeat(160)}` },
  reckoning: { 'views/a.eta': '<%= it.lines.filter(Boolean).length %>\n<%= it.filter %>' },
  'hidden-fields': { 'views/a.eta': '<input name="_form">', 'views/parts/b.eta': '<input name="_form">' },
  unused: {
    'domain/a.ts': 'export interface Used { b: Unused }\nexport interface Unused { c: number }',
    'domain/b.ts': "import type * as all from './index.ts'\nlet one: all.Used",
    'domain/index.ts': "export * from './a.ts'",
  },
  'tests-only': {
    'domain/a.ts': 'export const used = 1\nexport const tested = 2',
    'domain/b.ts': "import { used } from './a.ts'\nused.valueOf()",
    'tests/a.test.ts': "import { tested, used } from '../domain/a.ts'\nused + tested",
  },
  scraps: {
    'server/water/weir/routes.ts': "import { a } from './scrap.ts'\nimport { b } from './store.ts'\na(b)",
    'server/water/weir/scrap.ts': 'export const a = String',
    'server/water/weir/store.ts': 'export const b = 1',
  },
  twins: {
    'domain/a.ts': 'const a = (one: number[], other: number[]) => one.map((each, at) => each + other[at]!)\na([], [])',
    'domain/b.ts':
      'const b = (one: number[], other: number[]) => one.map((each, at) =>\n  each + other[at]!)\nb([], [])',
  },
  packed: { 'domain/a.ts': 'const a = { b: 1, ...{ c: 2 }, ...(1 ? { d: 3 } : {}) }' },
  never: { 'domain/a.ts': 'const a = 1 as never\nconst b = 1 as number' },
  'time-zone': { 'server/a.ts': "zone(group?.timeZone ?? 'UTC')", 'server/web/a.ts': "zone(group?.timeZone ?? 'UTC')" },
  desk: { 'server/a.ts': 'write({ db, request, reply, at: now() })' },
  units: {
    'domain/a.ts':
      '/** How wet. */\nexport function wet(): number {}\n/** How wet, mm. */\nexport function damp(): number {}\nwet(damp)',
    'domain/b.ts': 'export function rainMm(): number | null {}\nexport function isWet(): boolean {}\nrainMm(isWet)',
  },
  sources: {
    'domain/a.ts': '/** Rain that counts. */\nexport const PART = 0.8\nPART.valueOf()',
    'domain/b.ts': '/** Rain that counts. Source: FAO-56 (1998). */\nexport const PART = 0.8\nPART.valueOf()',
    'domain/c.ts': 'export const half = (a: number) => 0.5 * a + 1e-9\nhalf(1)',
  },
  docstrings: { 'domain/a.ts': 'export function a() {}\n/** Told. */\nexport function b() {}\na(b)' },
}

describe('the measures', () => {
  it.each(MEASURES)('find one: $says', ({ name, find }) => {
    const texts = new Map(Object.entries(BROKEN[name]!))
    expect(find(houseOf([...texts.keys()], texts))).toHaveLength(1)
  })
})
