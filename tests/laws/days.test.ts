import { beforeAll, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { formsOn, Rascal } from '../faults/nasty.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

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
    /people/applicants/new askedOn area=300; /people/handovers/new handedOn takerId=:person; /people/warnings/new?conduct= heardOn`,
  fanta: `/money/pay paidOn; /money/pay?as=work doneOn; /money/count countedOn; /money/move onDate to=wallet; /money/other onDate;
    /money/other?as=fee onDate; /money/settle/from-before onDate; /money/fine?conduct= heardOn`,
}
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
