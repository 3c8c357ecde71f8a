import { cells } from '../abstractions/book.ts'
import { OWN_GROUP } from '../support/book.ts'
import { type Fields, optionValue, type Seen, type Visitor } from '../support/visitor.ts'

/** A newcomer who has only the first page: goes where its list of steps leads, and counts what is sent. */
export class Newcomer {
  sendings = 0
  private readonly visitor: Visitor

  constructor(visitor: Visitor) {
    this.visitor = visitor
  }

  open(path: string): Promise<Seen> {
    return this.visitor.open(path)
  }

  /** The page behind a step of the first page, whether it is done or not. */
  async step(words: string): Promise<Seen> {
    const home = await this.open('/')
    const link = home.html.querySelectorAll('ol.steps a').find(({ text }) => text.includes(words))
    if (!link) throw new Error(`no step '${words}': ${home.words}`)
    return this.open(link.getAttribute('href')!)
  }

  async send(page: Seen, fields: Fields, action?: string): Promise<Seen> {
    this.sendings += 1
    const answer = await this.visitor.send(page, fields, action)
    if (answer.status >= 400) throw new Error(`${answer.status} ${answer.path}: ${answer.words.slice(0, 900)}`)
    return answer
  }

  async follow(page: Seen, href: RegExp): Promise<Seen> {
    const link = page.html.querySelectorAll('main a').find((a) => href.test(a.getAttribute('href') ?? ''))
    if (!link) throw new Error(`no link ${href} on ${page.path}: ${page.words.slice(0, 900)}`)
    return this.open(link.getAttribute('href')!)
  }
}

const FINA = { signInName: 'fina', password: 'a word for fina' }
const NOBODY_ELSE = { pupils: '0', cattle: '4', donkeys: '0', goatsAndSheep: '10' }
const WEIRS = ['Fig tree', 'Two rocks'] as const

export interface Setting {
  code: string
  /** The day of the story and others of its season. */
  today: string
  seasonStart: string
  seasonEnd: string
  lateRain: string
  readAt: string
  sownOn: string
  /** Days of weather before the story. */
  weatherDays: readonly string[]
}

/**
 * Six households, eight plots and two weirs, from an empty book to a printed week: what a newcomer sends who types the lines of a
 * set-up sheet and leaves empty what nobody has measured. Gives back the sheet and how many forms were sent.
 */
export async function firstWeek(someone: Visitor, other: Visitor, setting: Setting) {
  const ada = new Newcomer(someone)
  const { code, today, seasonStart, seasonEnd } = setting
  await ada.send(await ada.open('/start'), {
    ...OWN_GROUP,
    latitude: `1°48'S`,
    longitude: '38 E',
    code,
    seasonStart,
    seasonEnd,
  })
  await works(ada)
  await peopleAndPlots(ada)
  await water(ada, setting)
  await crops(ada, setting)
  await ada.send(await ada.step('sharing rule'), {
    equalWeight: '50',
    areaWeight: '50',
    shareWeight: '0',
    admission: 'crop',
  })
  const treasurer = await price(ada, new Newcomer(other))
  // Of the weeks that the step shows, the one that begins next.
  const weeks = await ada.step('Publish the first week')
  const starts = weeks.html
    .querySelectorAll('main a')
    .map((a) => /^\/turns\/weeks\/(\d{4}-\d\d-\d\d)$/.exec(a.getAttribute('href') ?? '')?.[1])
  const next = starts.find((start) => start && start > today)
  if (!next) throw new Error(`no coming week on ${weeks.path}: ${weeks.words.slice(0, 900)}`)
  const draft = await ada.follow(weeks, new RegExp(`/turns/weeks/${next}$`))
  const last = await ada.follow(draft, /\/publish$/)
  await ada.send(last, {})
  const sheet = await ada.step('Print the week')
  return { sheet, home: await ada.open('/'), sendings: ada.sendings + treasurer.sendings, today }
}

async function works(ada: Newcomer) {
  const sand = { valleyShape: 'dish', sandType: 'medium' }
  await ada.send(
    await ada.step('weirs'),
    cells([
      {
        name: WEIRS[0],
        distance: '0',
        crestHeight: '2',
        crestWidth: '20',
        bedSlope: '1',
        offTakeAboveBed: '0.2',
        ...sand,
      },
      { name: WEIRS[1], distance: '400', crestHeight: '3', crestWidth: '30', markAboveCrest: '0.4', ...sand },
    ]),
  )
  let page = await ada.step('pumps')
  for (const [at, weir] of WEIRS.entries()) {
    const pump = { name: `Pump ${at + 1}`, weirId: optionValue(page, 'weirId', weir), usualFlow: '5' }
    page = await ada.send(page, at === 0 ? { ...pump, another: 'yes' } : pump)
  }
  await ada.send(
    await ada.step('outlets'),
    cells(
      [1, 2, 3, 4].map((at) => ({
        name: `Stand ${at}`,
        pumpId: at < 3 ? '1' : '2',
        containerLitres: '20',
        seconds1: '18',
      })),
    ),
  )
}

async function peopleAndPlots(ada: Newcomer) {
  const names = ['Bela', 'Chidi', 'Dina', 'Eshe']
  await ada.send(await ada.step('people'), cells(names.map((name) => ({ name }))))
  await ada.send(
    await ada.step('plots'),
    cells(
      Array.from({ length: 8 }, (_, at) => ({
        name: `Bed ${at + 1}`,
        holderIds: String((at % 5) + 1),
        area: at === 7 ? '' : '20 x 15',
        soil: 'L',
        method: 'F',
        outletIds: String((at % 4) + 1),
      })),
    ),
  )
}

async function water(ada: Newcomer, { lateRain, readAt }: Setting) {
  for (const weir of WEIRS) {
    const count = await ada.step('Count the people')
    await ada.send(count, { weirId: optionValue(count, 'weirId', weir), people: '15', ...NOBODY_ELSE })
  }
  await ada.send(await ada.step('late date of rain'), { lateRainOn: lateRain, wetRain: '10' })
  for (const weir of WEIRS) {
    const level = await ada.step('level at each weir')
    await ada.send(level, { weirId: optionValue(level, 'weirId', weir), readAt, depth: '40' })
  }
}

async function crops(ada: Newcomer, { weatherDays, sownOn }: Setting) {
  const days = weatherDays.map((day) => `${day},31,17,0`)
  await ada.send(await ada.step('weather'), { pasted: ['date,max,min,rain', ...days].join('\n') })
  await ada.step('What may we plant')
  await ada.send(
    await ada.step('what grows where'),
    cells(
      Array.from({ length: 8 }, (_, at) => ({
        plotId: String(at + 1),
        cropKey: 'maize, sweet',
        area: '10 x 10',
        sownOn,
      })),
    ),
  )
}

/** The treasurer writes the price, the newcomer puts the second name under it. */
async function price(ada: Newcomer, fina: Newcomer): Promise<Newcomer> {
  await ada.send(await ada.step('treasurer'), { name: 'Fina', ...FINA })
  await fina.send(await fina.open('/sign-in'), FINA)
  // The visitor of the tests has chosen a password of her own by then, which is one more sending.
  fina.sendings += 1
  const tariffs = await fina.open('/money/price')
  const written = await fina.send(await fina.follow(tariffs, /\/price\/new$/), { perM3: '20' })
  await ada.send(await ada.open(written.path), {}, written.path)
  return fina
}
