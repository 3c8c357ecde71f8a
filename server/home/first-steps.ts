import type { Permission } from '../../domain/people/permissions.ts'
import { readTogether } from '../book/register/together.ts'
import { standing } from '../book/standing.ts'
import type { Database } from '../database/connection.ts'
import { publishedStarts } from '../rotation/published/store.ts'
import type { Desk } from '../web/pages/desk.ts'
import type { Line } from './today/line.ts'

/** The things whose first line in the book ends a step. */
type Counted =
  | 'weir'
  | 'pump'
  | 'outlet'
  | 'person'
  | 'plot'
  | 'waterUser'
  | 'waterSetting'
  | 'levelReading'
  | 'weatherDay'
  | 'cropPlan'
  | 'sharingRule'
  | 'tariff'
  | 'publishedWeek'

/** Asked by themselves: of what grows with every day no more is read than the first line. */
const GROWING: readonly Counted[] = ['levelReading', 'weatherDay']

interface Step {
  name: string
  href: string
  /** Whoever may do it; a step that somebody else has to do is passed over for the next. */
  permission: Permission
  done: (db: Database) => Promise<boolean>
}

/** The steps of a new book, in the order in which each needs the one before, from the first wall to a printed week. */
const STEPS: readonly Step[] = [
  { name: 'weir', href: '/paper/many/weirs', permission: 'water.describe', done: has('weir') },
  { name: 'pump', href: '/works/pumps/new', permission: 'works.describe', done: has('pump') },
  { name: 'outlet', href: '/paper/many/outlets', permission: 'works.describe', done: has('outlet') },
  { name: 'person', href: '/paper/many/people', permission: 'people.register', done: has('person', 2) },
  { name: 'plot', href: '/paper/many/plots', permission: 'works.describe', done: has('plot') },
  { name: 'drinkers', href: '/water/kept/count', permission: 'water.describe', done: has('waterUser') },
  { name: 'late-rain', href: '/water/settle/late-rain', permission: 'water.describe', done: has('waterSetting') },
  { name: 'level', href: '/water/levels/new', permission: 'level.record', done: has('levelReading') },
  { name: 'weather', href: '/crops/weather/list', permission: 'weather.record', done: has('weatherDay') },
  { name: 'planting', href: '/crops/planting', permission: 'crops.declare', done: has('cropPlan') },
  { name: 'crop', href: '/paper/many/crops', permission: 'crops.declare', done: has('cropPlan') },
  { name: 'rule', href: '/turns/rule/change', permission: 'rule.set', done: has('sharingRule') },
  {
    name: 'treasurer',
    href: '/people/new?office=treasurer',
    permission: 'people.register',
    done: hasTreasurer,
  },
  { name: 'tariff', href: '/money/price', permission: 'tariff.set', done: has('tariff') },
  { name: 'week', href: '/turns', permission: 'week.publish', done: has('publishedWeek') },
  { name: 'sheet', href: '/turns', permission: 'week.publish', done: hasSheet },
]

type FirstStep = Omit<Step, 'done'> & { done: boolean }

export async function firstSteps(db: Database): Promise<FirstStep[]> {
  return Promise.all(
    STEPS.map(async ({ done, ...step }) => ({ ...step, href: await hrefOf(db, step), done: await done(db) })),
  )
}

/** What a new book needs next from whoever stands there; it comes before all else until the first sheet is printed. */
export function nextStep({ may, t }: Desk, steps: readonly FirstStep[]): Line | null {
  const isNew = steps.some(({ name, done }) => name === 'sheet' && !done)
  const isPublished = steps.some(({ name, done }) => name === 'week' && done)
  const step = steps.find(
    ({ name, permission, done }) => !done && may(permission) && (!isPublished || name === 'sheet'),
  )
  if (!step || !isNew || !may('works.describe')) return null
  const small = t('today.step', { at: steps.indexOf(step) + 1, of: steps.length })
  return { picture: 'book', words: t(`home.step-${step.name}`), small, href: step.href }
}

function has(table: Counted, atLeast = 1): Step['done'] {
  const lines = (db: Database) => db.selectFrom(table).select('entryId').limit(atLeast)
  const asked = GROWING.includes(table) ? (db: Database) => lines(db).execute() : readTogether('home', lines)
  return async (db) => (await asked(db)).length >= atLeast
}

/** Somebody else than the committee writes the price, and signs in for it. */
const treasurers = readTogether('home', (db) =>
  db
    .selectFrom('personRole')
    .innerJoin('credential', 'credential.personId', 'personRole.personId')
    .select('role')
    .where('role', '=', 'treasurer')
    .where(standing('personRole'))
    .where(standing('credential')),
)

async function hasTreasurer(db: Database): Promise<boolean> {
  return (await treasurers(db)).length > 0
}

const hasSecondWeek = has('publishedWeek', 2)

/** Who opened a sheet is not kept in a copy; a group that published a second week found its way. */
async function hasSheet(db: Database): Promise<boolean> {
  if (await hasSecondWeek(db)) return true
  return (await db.selectFrom('sheetOpened').select('publishedId').executeTakeFirst()) !== undefined
}

/** The sheet is that of the week published first, once there is one. */
async function hrefOf(db: Database, { name, href }: Omit<Step, 'done'>): Promise<string> {
  if (name !== 'sheet') return href
  const week = (await publishedStarts(db))[0]
  return week ? `/turns/weeks/${week}/sheet` : href
}
