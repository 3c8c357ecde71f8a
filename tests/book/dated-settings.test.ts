import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { householdOf } from '../../domain/people/household.ts'
import { wholeWeekDays } from '../../domain/weeks.ts'
import { appendEntry, type Facts, type Pen } from '../../server/book/entries.ts'
import { hasLeft } from '../../server/book/names/counting.ts'
import { householdFacts } from '../../server/book/names/household.ts'
import { settingsToCome, toComeOn } from '../../server/book/to-come.ts'
import { cropSettings } from '../../server/crops/setting/store.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { inFile } from '../../server/database/names.ts'
import { payerClasses } from '../../server/fees/fixed-fee/payer-class-store.ts'
import { floatLimitOn } from '../../server/fees/voucher/store.ts'
import { quorumPartOn } from '../../server/people/decision/store.ts'
import { groupLanguageOn } from '../../server/people/language/store.ts'
import { marketWeeks } from '../../server/people/market-week/store.ts'
import { rolesOf } from '../../server/people/person/store.ts'
import { arrearsRuleOn, ownerOn } from '../../server/people/plot/owner-store.ts'
import { rulesOn } from '../../server/people/warning/rule-store.ts'
import { turnLengthsOn } from '../../server/rotation/constraint/length-store.ts'
import { fillingMinutesOn, linePositionsOn, notTogetherOn } from '../../server/rotation/constraint/line-store.ts'
import { shortDayRuleOn } from '../../server/rotation/day/rule-store.ts'
import { holderGroupsOn } from '../../server/rotation/fairness/group-store.ts'
import { urgentQuotaOn } from '../../server/rotation/request/detail-store.ts'
import { planClassesOn } from '../../server/rotation/rule/class-store.ts'
import { householdsOn } from '../../server/rotation/rule/household-store.ts'
import { sharingRuleOn } from '../../server/rotation/rule/store.ts'
import { tankUsesOn } from '../../server/rotation/tank-turn/store.ts'
import { turnListOn } from '../../server/rotation/turn-list/store.ts'
import { chamberOn } from '../../server/water/chamber/store.ts'
import { coverTermsOn } from '../../server/water/cover/store.ts'
import { outlookSettingOn } from '../../server/water/outlook/store.ts'
import { shutMarksOn, streamShareOn } from '../../server/water/stream/store.ts'
import { drinkingCautionOn, waterSettingOn, waterUsersOn } from '../../server/water/users/store.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { tankOutletsOn } from '../../server/works/tank/outlet-store.ts'

const PAST = '2026-05-01'
const TODAY = '2026-06-04'
const TO_COME = '2026-07-01'
/** What is written first is none of the three in force on the days asked, nor is what is written last. */
const WRITTEN = [TO_COME, PAST, TODAY]

interface Dated {
  what: string
  /** One version, told from the others by a figure: 1, 2 or 3. */
  facts: (fromOn: string, figure: number) => Facts
  /** The figure of the version that holds on the day. */
  ask: (db: Database, on: string) => Promise<unknown>
}

const DATED: Dated[] = [
  {
    what: 'what is kept for drinking',
    facts: (fromOn, figure) => ({ drinkingCaution: [{ fromOn, rememberedWeeks: figure, fetchWeeks: 0 }] }),
    ask: async (db, on) => (await drinkingCautionOn(db, on))?.rememberedWeeks,
  },
  {
    what: 'late rain and the rain mark',
    facts: (fromOn, figure) => ({ waterSetting: [{ fromOn, lateRainOn: '2026-10-20', wetRainMm: figure }] }),
    ask: async (db, on) => (await waterSettingOn(db, on))?.wetRainMm,
  },
  {
    what: 'who drinks at a weir',
    facts: (fromOn, figure) => ({
      waterUser: [{ weirId: 'w', fromOn, kind: 'person', heads: figure, litresPerHeadDay: 20 }],
    }),
    ask: async (db, on) => (await waterUsersOn(db, on)).get('w')?.users[0]?.heads,
  },
  {
    what: 'terms of the days of cover',
    facts: (fromOn, figure) => ({
      coverTerm: [{ weirId: 'w', fromOn, leakShare: 0, weeklyPlanM3: figure, rechargeM3PerMm: null, words: null }],
    }),
    ask: async (db, on) => (await coverTermsOn(db, on)).get('w')?.weeklyPlanM3,
  },
  {
    what: 'the outlook',
    facts: (fromOn, figure) => ({ outlookSetting: [{ fromOn, holdsIn: 0.9, seed: figure }] }),
    ask: async (db, on) => (await outlookSettingOn(db, on))?.seed,
  },
  {
    what: 'the share of the stream',
    facts: (fromOn, figure) => ({
      streamShare: [{ fromOn, permitM3: figure, permitYearStart: '01-01', warnPart: 0.8, words: null }],
    }),
    ask: async (db, on) => (await streamShareOn(db, on))?.permitM3,
  },
  {
    what: 'the mark below which a weir is shut',
    facts: (fromOn, figure) => ({ shutMark: [{ weirId: 'w', fromOn, shutBelowLevelM: figure, words: 'minute 3' }] }),
    ask: async (db, on) => (await shutMarksOn(db, on)).get('w')?.shutBelowLevelM,
  },
  {
    what: 'a chamber',
    facts: (fromOn, figure) => ({
      chamber: [{ weirId: 'w', fromOn, areaM2: figure, depthM: 2, rimAboveCrestM: 0, stopBelowRimCm: 150 }],
    }),
    ask: async (db, on) => (await chamberOn(db, 'w' as never, on))?.areaM2,
  },
  {
    what: 'the rain rule',
    facts: (fromOn, figure) => ({
      rainRule: [{ fromOn, thresholdMm: figure, fraction: 0.8, missingRain: 'cannot-say' }],
    }),
    ask: async (db, on) => (await cropSettings(db, on)).rainRule?.thresholdMm,
  },
  {
    what: 'the correction of dry air',
    facts: (fromOn, figure) => ({ demandRule: [{ fromOn, dryAirC: figure, hargreavesFactor: null }] }),
    ask: async (db, on) => (await cropSettings(db, on)).demandRule?.dryAirC,
  },
  {
    what: 'the most turns a week',
    facts: (fromOn, figure) => ({ mostTurns: [{ fromOn, turns: figure }] }),
    ask: async (db, on) => (await cropSettings(db, on)).mostTurns?.turns,
  },
  {
    what: 'the part that washes salt down',
    facts: (fromOn, figure) => ({ saltWashing: [{ fromOn, fraction: figure / 8 }] }),
    ask: async (db, on) => 8 * (await cropSettings(db, on)).saltWashing!.fraction,
  },
  {
    what: 'the coefficient of the first stage',
    facts: (fromOn, figure) => ({
      coefficientRule: [{ fromOn, byClimate: 0, wettingDays: figure, wettingMm: 20, wettedPart: 0 }],
    }),
    ask: async (db, on) => (await cropSettings(db, on)).coefficientRule?.wetting?.days,
  },
  {
    what: 'the evaporation of each month',
    facts: (fromOn, figure) => ({
      monthTable: [{ fromOn, words: 'minute 3' }],
      monthEvaporation: Array.from({ length: 12 }, (_, at) => ({ month: at + 1, etoMmPerDay: figure })),
    }),
    ask: async (db, on) => (await cropSettings(db, on)).monthTable?.etoMmPerDay[11],
  },
  {
    what: 'the state of a plot’s drip lines',
    facts: (fromOn, figure) => ({
      plotState: [{ plotId: 'p', fromOn, state: ['', 'sound', 'clogged', 'windy'][figure]! }],
    }),
    ask: async (db, on) =>
      ['', 'sound', 'clogged', 'windy'].indexOf((await cropSettings(db, on)).stateOfPlot.get('p')?.state ?? ''),
  },
  {
    what: 'the most that the cash box may hold',
    facts: (fromOn, figure) => ({ floatLimit: [{ fromOn, limitMinor: figure }] }),
    ask: floatLimitOn,
  },
  {
    what: 'the gauge of a plot',
    facts: (fromOn, figure) => ({ plotGauge: [{ plotId: 'p', fromOn, gaugeId: String(figure) }] }),
    ask: async (db, on) => Number((await cropSettings(db, on)).gaugeOfPlot.get('p')),
  },
  {
    what: 'the cover of a plot’s soil',
    facts: (fromOn, figure) => ({ plotMulch: [{ plotId: 'p', fromOn, kind: 'straw', coverFraction: figure / 4 }] }),
    ask: async (db, on) => (await cropSettings(db, on)).mulchOfPlot.get('p')!.coverFraction * 4,
  },
  {
    what: 'the shortest turn',
    facts: (fromOn, figure) => ({
      turnLength: [{ fromOn, shortestMinutes: figure, longestMinutes: 90, changeoverMinutes: 0 }],
    }),
    ask: async (db, on) => (await turnLengthsOn(db, on))?.minTurnMinutes,
  },
  {
    what: 'the place of a plot on its line',
    facts: (fromOn, figure) => ({ linePosition: [{ plotId: 'p', fromOn, position: figure }] }),
    ask: async (db, on) => (await linePositionsOn(db, on)).p,
  },
  {
    what: 'the filling of a line',
    facts: (fromOn, figure) => ({ outletFilling: [{ outletId: 'o', fromOn, minutes: figure }] }),
    ask: async (db, on) => (await fillingMinutesOn(db, on)).o,
  },
  {
    what: 'outlets that are never open together',
    facts: (fromOn, figure) => ({
      outletPair: [{ outletAId: 'a', outletBId: 'b', fromOn, together: figure === 2 ? 0 : 1 }],
    }),
    ask: async (db, on) => ((await notTogetherOn(db, on)).length > 0 ? 2 : on < TODAY ? 1 : 3),
  },
  {
    what: 'the groups of a holder',
    facts: (fromOn, figure) => ({ holderGroup: [{ personId: 'h', fromOn, name: String(figure) }] }),
    ask: async (db, on) => Number((await holderGroupsOn(db, on)).get('h')),
  },
  {
    what: 'the people of a plot',
    facts: (fromOn, figure) => ({ plotHousehold: [{ plotId: 'p', fromOn, persons: figure }] }),
    ask: async (db, on) => (await householdsOn(db, on)).get('p')?.persons,
  },
  {
    what: 'the class of a crop',
    facts: (fromOn, figure) => ({
      planClass: [{ planId: 'c', fromOn, class: ['', 'nursery', 'food', 'market'][figure]! }],
    }),
    ask: async (db, on) => ['', 'nursery', 'food', 'market'].indexOf((await planClassesOn(db, on)).get('c') ?? ''),
  },
  {
    what: 'urgent requests a month',
    facts: (fromOn, figure) => ({ urgentQuota: [{ fromOn, perMonth: figure }] }),
    ask: urgentQuotaOn,
  },
  {
    what: 'the rule of a short day',
    facts: (fromOn, figure) => ({ shortDayRule: [{ fromOn, rule: figure === 2 ? 'queue' : 'level' }] }),
    ask: async (db, on) => ((await shortDayRuleOn(db, on)) === 'queue' ? 2 : on < TODAY ? 1 : 3),
  },
  {
    what: 'the sharing rule',
    facts: (fromOn, figure) => ({
      sharingRule: [
        { fromOn, admission: 'crop', declaredOn: null, sparePart: 0, excusedDays: figure, excusedCapPart: 1 },
      ],
      ruleMix: [
        {
          weirId: null,
          equalWeight: 1,
          areaWeight: 0,
          shareWeight: 0,
          personsWeight: 0,
          needWeight: 0,
          areaCapM2: null,
        },
      ],
    }),
    ask: async (db, on) => (await sharingRuleOn(db, on))?.carryOver.excusedDays,
  },
  {
    what: 'turns by a list',
    facts: (fromOn, figure) => ({ turnList: [{ pumpId: 'u', fromOn, perDay: figure }] }),
    ask: async (db, on) => (await turnListOn(db, 'u' as never, on))?.perDay,
  },
  {
    what: 'the use of a tank',
    facts: (fromOn, figure) => ({
      tankUse: [{ tankId: 't', fromOn, fromHour: null, toHour: null, keptM3: figure, servesStand: 0 }],
    }),
    ask: async (db, on) => (await tankUsesOn(db, on)).get('t')?.keptM3,
  },
  {
    what: 'the tank of an outlet',
    facts: (fromOn, figure) => ({ tankOutlet: [{ outletId: 'o', tankId: String(figure), fromOn }] }),
    ask: async (db, on) => Number((await tankOutletsOn(db, on)).get('o')?.tankId),
  },
  {
    what: 'a payer’s class',
    facts: (fromOn, figure) => ({ payerClass: [{ personId: 'h', fromOn, class: figure === 2 ? 'school' : 'tenant' }] }),
    ask: async (db, on) => ((await payerClasses(db))('h' as never, on) === 'school' ? 2 : on < TODAY ? 1 : 3),
  },
  {
    what: 'the weeks that follow the market',
    facts: (fromOn, figure) => ({ marketWeek: [{ fromOn, daysInWeek: 3 + figure }] }),
    ask: async (db, on) => wholeWeekDays(on, { firstWeekday: 1, marketWeeks: await marketWeeks(db) }) - 3,
  },
  {
    what: 'how many must be at a meeting',
    facts: (fromOn, figure) => ({
      quorumRule: [{ fromOn, body: 'meeting', part: (['third', 'half', 'two-thirds'] as const)[figure - 1]! }],
    }),
    ask: async (db, on) => ['', 'third', 'half', 'two-thirds'].indexOf((await quorumPartOn(db, 'meeting', on)) ?? ''),
  },
  {
    what: 'who owns a plot that is let',
    facts: (fromOn, figure) => ({ plotOwner: [{ plotId: 'p', ownerId: ['', 'h', 'x', 'y'][figure]!, fromOn }] }),
    ask: async (db, on) => ['', 'h', 'x', 'y'].indexOf((await ownerOn(db, 'p', on))?.id ?? ''),
  },
  {
    what: 'who answers for what a tenant leaves unpaid',
    facts: (fromOn, figure) => ({ arrearsRule: [{ fromOn, follows: figure === 2 ? 'plot' : 'person' }] }),
    ask: async (db, on) => ((await arrearsRuleOn(db, on))?.follows === 'plot' ? 2 : on < TODAY ? 1 : 3),
  },
  {
    what: 'what a conduct leads to',
    facts: (fromOn, figure) => ({
      conductRule: [
        {
          ...{ number: '3', conduct: 'x', fromOn, wordsBefore: figure, warningsBefore: 1, lapseDays: 9, ends: 0 },
          ...{ fineMinor: null, finePercent: null },
        },
      ],
    }),
    ask: async (db, on) => (await rulesOn(db, on))[0]?.wordsBefore,
  },
  {
    what: 'who lives together',
    facts: (fromOn, figure) => ({
      livesTogether: ['h', 'x', 'y'].slice(0, figure).map((personId) => ({ personId, fromOn })),
    }),
    ask: async (db, on) => householdOf(await householdFacts(db), ['h' as never], on as never).length,
  },
  {
    what: 'whether somebody has left',
    facts: (fromOn, figure) => ({ personLeft: [{ personId: 'g', fromOn, isBack: figure === 2 ? 0 : 1 }] }),
    ask: async (db, on) => ((await hasLeft(db, 'g' as never, on)) ? 2 : on < TODAY ? 1 : 3),
  },
  {
    what: 'the language of the group',
    facts: (fromOn, figure) => ({
      groupLanguage: [{ fromOn, language: ['', 'en', 'sw', 'pt'][figure]!, digits: null }],
    }),
    ask: async (db, on) => ['', 'en', 'sw', 'pt'].indexOf((await groupLanguageOn(db, on))?.language ?? ''),
  },
  {
    what: 'somebody’s roles',
    facts: (fromOn, figure) => ({
      personRole: [{ personId: 'h', fromOn, role: ['', 'member', 'auditor', 'treasurer'][figure]! }],
    }),
    ask: async (db, on) =>
      ['', 'member', 'auditor', 'treasurer'].indexOf((await rolesOf(db, 'h' as never, on))[0] ?? ''),
  },
]

/** Tables whose first day is no such setting: those that also have a last day, and those read with the thing that they describe. */
const WITH_A_LAST_DAY = [
  ...['drought_declaration', 'log_closing', 'no_turn_hours', 'period_closing', 'slip_book', 'standing_request'],
  'turn_list_pause',
  'no_turn_custom',
]
const READ_WITH_THEIR_THING = [
  ...[
    'counted_in',
    'group_measure',
    'person_language',
    'group_setting',
    'kind_rate',
    'level_volume_table',
    'own_crop',
    'person_mark',
    'plot_detail',
    'plot_holder',
    'probed_survey',
  ],
  ...['pump_detail', 'pump_mount', 'sand_loss', 'tariff', 'weir_survey'],
]

/** Kinds of entries that are not called like the table that they write. */
const KINDS: Record<string, string> = {
  ...{ holderGroup: 'holder-groups', outletFlowTest: 'flow-test', personRole: 'roles', plotHolder: 'holders' },
  ...{ waterUser: 'water-users' },
}

function appendFacts(pen: Pen, facts: Facts): Promise<string> {
  const table = Object.keys(facts)[0]!
  const kind = KINDS[table] ?? inFile(table).replaceAll('_', '-')
  return appendEntry(pen, { kind }, facts)
}

let db: Database
beforeAll(async () => {
  db = openDatabase(':memory:')
  await migrateToLatest(db)
  await sql`pragma foreign_keys = off`.execute(db)
  await db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: 'h', writtenAt: '2026-06-04T05:00:00.000Z' as const }
    await sql`insert into person (entry_id, number, name) values ('h', 1, 'Ada')`.execute(trx)
    for (const { facts } of DATED)
      for (const fromOn of WRITTEN) await appendFacts(pen, facts(fromOn, [PAST, TODAY, TO_COME].indexOf(fromOn) + 1))
  })
})
afterAll(() => db.destroy())

describe('what the group settles from a day on', () => {
  it.each(DATED)('holds from its day and until the next: $what', async ({ ask }) => {
    const days = ['2026-05-31', '2026-06-03', TODAY, '2026-06-30', TO_COME]
    const found = await Promise.all(days.map((on) => ask(db, on)))
    expect(found).toEqual([1, 1, 2, 2, 3])
  })

  it.each(DATED)('is told as coming, with its day and under its name: $what', async ({ facts }) => {
    const [table] = Object.keys(facts(PAST, 1))
    const own = ({ setting }: { setting: string }) => setting === table
    const told = async (on: string) => (await settingsToCome(db, on)).filter(own)
    const at = async (on: string) => [...new Set((await told(on)).map(({ fromOn }) => fromOn))]
    expect(await at('2026-06-03')).toEqual([TODAY, TO_COME])
    expect(await at(TODAY)).toEqual([TO_COME])
    expect(await at(TO_COME)).toEqual([])
    for (const { t } of ['en', 'sw', 'pt'].map(loadLocale)) {
      for (const { values } of await told(TODAY)) {
        // A word that the row does not fill in is refused by the catalogue itself.
        expect(t(`layout.coming.${table}`, values)).not.toMatch(/[{}]|undefined|null/)
      }
    }
    expect((await toComeOn(db, '/log', TODAY)).filter(own)).toEqual([])
  })

  it('names the thing that changes, the last version of a day, and counts what is more than a few', async () => {
    await db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: 'h', writtenAt: '2026-06-04T06:00:00.000Z' as const }
      for (const [tankId, at] of [
        ['1', 1],
        ['2', 2],
        [null, 3],
      ] as const)
        await appendFacts(
          { ...pen, writtenAt: `2026-06-04T06:00:0${at}.000Z` },
          { tankOutlet: [{ outletId: 'o1', tankId, fromOn: '2026-09-01' }] },
        )
      for (const plotId of ['p1', 'p2', 'p3', 'p4', 'p5'])
        await appendFacts(pen, { linePosition: [{ plotId, fromOn: '2026-09-01', position: 1 }] })
      await appendFacts(pen, { personLeft: [{ personId: 'h', fromOn: '2026-09-01', isBack: 0 }] })
    })
    const told = (await settingsToCome(db, TODAY)).filter(({ fromOn }) => fromOn === '2026-09-01')
    const of = (name: string) => told.filter(({ setting }) => setting === name)
    const { t } = loadLocale('en')
    expect(of('tankOutlet').map(({ values }) => t('layout.coming.tankOutlet', values))).toEqual([
      'outlet o1 takes its water straight from the pump',
    ])
    expect(of('linePosition').map(({ values, more }) => [values.plot, more])).toEqual([
      ['p1', 0],
      ['p2', 0],
      ['p3', 2],
    ])
    expect(of('personLeft').map(({ values }) => t('layout.coming.personLeft', values))).toEqual([
      'Ada is no longer in the group',
    ])
  })

  it('is all in this list', async () => {
    const dated = await sql<{ name: string }>`
      select m.name from sqlite_schema m join pragma_table_info(m.name) c where c.name = 'from_on'`.execute(db)
    const tried = new Set(DATED.flatMap(({ facts }) => Object.keys(facts(PAST, 1)).map(inFile)))
    const untried = dated.rows.map(({ name }) => name).filter((name) => !tried.has(name))
    expect(untried.sort()).toEqual([...WITH_A_LAST_DAY, ...READ_WITH_THEIR_THING].sort())
  })
})
