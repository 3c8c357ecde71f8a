import { beforeAll, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { formsOn, Rascal } from '../faults/nasty.ts'
import { openValley, readerOfValley, VALLEY_TODAY } from '../support/valley.ts'
import { kindOf, walk } from '../support/walk.ts'

/**
 * Forms about what has happened: the address, with the kind of entry whose last id stands in it, the line for its day, and what else is
 * answered where the first choice of every line is not taken.
 */
const HAPPENED: Record<'amaru' | 'fanta', string> = {
  amaru: `/water/weirs/:weir/sand fromOn; /water/settle/loss/:weir fromOn;
    /water/weirs/:weir/chamber fromOn depth=4; /water/walls/new seenOn; /water/levels/new readOn; /water/stream/flow onDate; /water/stream/flow?as=bucket onDate;
    /water/weirs/:chamber/refill testedOn; /crops/weather/new onDate; /crops/tape tapedOn; /crops/plans/:crop-plan/end endedOn;
    /works/settle/flow/:outlet testedOn; /works/outlets/new testedOn; /works/settle/sky/:pump onDate; /log/tests/bucket onDate;
    /log/tests/night onDate; /log/tests/night?as=meter onDate; /log/meter onDate digits=5; /log/round?as=meter onDate; /log/round?as=tank onDate;
    /log/round?as=tank-day onDate; /log/faults/new onDate; /log/faults/service onDate nextAfter=500; /log/lines/fault/:fault/correct onDate;
    /log/lines/mended/:fault-fix/correct onDate; /log/lines/service/:pump-service/correct onDate; /log/lines/meter/:pump-day-reading/correct onDate;
    /log/lines/tank/:tank-reading/correct onDate; /log/lines/drawn/:abstraction/correct onDate; /water/lines/level/:level-reading/correct readOn;
    /people/complaints/new saidOn aboutId=; /people/decisions/new metOn; /people/lines/decision/:decision/correct metOn;
    /log/close?as=new toOn;
    /people/applicants/new askedOn area=300; /people/handovers/new handedOn takerId=:person; /people/warnings/new?conduct= heardOn`,
  fanta: `/money/pay paidOn; /money/bank-paper toOn closing=1000; /money/pay?as=work doneOn; /money/count countedOn; /money/move onDate to=wallet; /money/other onDate;
    /money/other?as=fee onDate; /money/settle/from-before onDate; /money/fine?conduct= heardOn`,
}
/** Days that may lie ahead, or have a test of their own: the form and the line. */
const OTHER_DAYS = [
  // What holds from a day on is written beforehand, and shown as coming.
  /^\/(crops|money|people|turns|water|works)\/settle\/\S+ (fromOn|untilOn|onDate)$/,
  /^\/(crops\/list|money\/price|people\/plots|water\/(weirs|kept|dry|stream\/share)|works\/(pumps|tanks)|turns\/rule)\S* fromOn$/,
  /^\/people\/\*\/change\S* fromOn$/,
  // What is to come by its nature: a next look, a last day to plant or to pay by, seasons, turns and booked hours.
  / (nextOn|lapseOn|lateRainOn|lookOn|runsAgainOn|firstOn|declaredOn|seasonStart|seasonEnd|stipendFromOn|stipendToOn)$/,
  /^\/turns\/(weeks|ask)\S* onDate$/,
  /^\/crops\/(new|lines\/crop)\S* sownOn$/,
  // A stick is read after its pump was off; lists to be typed in are held against the day of their last line by tests/paper.
  / pumpOffOn$/,
  /^\/paper\/(\S+ \d+\.\w+|numbers fromOn)$/,
  // The payment of one payer is the form of any payer's.
  /^\/money\/pay\/\* paidOn$/,
  // Left by tests of their own: the sum from before the log began, and what goes with a turn's day.
  /^\/people\/settle\/received-before/,
  /^\/(log\/(turns|water|lines\/slip-book)|turns\/\*\/otherwise)/,
]
const rows = Object.entries(HAPPENED).flatMap(([name, forms]) =>
  forms.split(';').map((form) => {
    const [address, field, also] = form.trim().split(/\s+/)
    return [address!, field!, also, name as 'amaru' | 'fanta'] as const
  }),
)

let valley: Awaited<ReturnType<typeof openValley>>
const as = {} as Record<'amaru' | 'fanta', Rascal>

beforeAll(async () => {
  valley = await openValley()
  for (const name of ['amaru', 'fanta'] as const) {
    as[name] = new Rascal(valley.app)
    await as[name].signIn(name)
  }
})

/** The words with the id of the last entry of a kind in its place; that of `:chamber` is its weir. */
async function withIds(words: string): Promise<string> {
  const [, kind] = /:([a-z-]+)/.exec(words) ?? []
  if (!kind) return words
  const chamber = valley.db.selectFrom('chamber').select('weirId as id')
  const last = valley.db.selectFrom('entry').select('id').where('kind', '=', kind).orderBy('seq', 'desc')
  return words.replace(`:${kind}`, (await (kind === 'chamber' ? chamber : last).executeTakeFirstOrThrow()).id)
}

it.each(rows)('%s takes no day to come for %s, and today', async (address, field, also, name) => {
  const { html } = await as[name].open(await withIds(address))
  const form = formsOn(html).find(({ willing }) => field in willing)!
  const [line, answer] = also ? (await withIds(also)).split('=') : []
  const { strike: _, ...willing } = { ...form.willing, ...(line && { [line]: answer! }) }
  const answerTo = async (day: string) => (await as[name].post(form.action, { ...willing, [field]: day })).text
  const isWrong = (text: string) => new RegExp(`<input[^>]*name="${field}"[^>]*aria-invalid="true"`).test(text)
  const before = await valley.db.selectFrom('entry').select('seq').execute()
  expect(isWrong(await answerTo(addDays(VALLEY_TODAY, 1))), 'tomorrow').toBe(true)
  expect(await valley.db.selectFrom('entry').select('seq').execute()).toEqual(before)
  expect(isWrong(await answerTo(VALLEY_TODAY)), 'today').toBe(false)
})

it('are all days of forms that a page shows: about what happened, or among those that may lie ahead', async () => {
  const pages = [
    ...(await walk(await readerOfValley('amaru'), { pagesOfAKind: 2 })),
    ...(await walk(await readerOfValley('fanta'), { pagesOfAKind: 1 })),
  ]
  const shown = pages.flatMap(({ path, html }) =>
    html
      .querySelectorAll('form[method=post] input[type=date]')
      .map((day) => `${bare(path)} ${day.getAttribute('name')}`),
  )
  const happened = new Set(rows.map(([address, field]) => `${bare(address.replace(/:[a-z-]+/, '*'))} ${field}`))
  expect(new Set(shown).size).toBeGreaterThan(100)
  const unsaid = shown.filter((one) => !happened.has(one) && !OTHER_DAYS.some((pattern) => pattern.test(one)))
  expect([...new Set(unsaid)]).toEqual([])
})

/** The address of a kind without what is chosen beforehand. */
const bare = (path: string) => kindOf(path).replace(/\?.*/, '')
