import { group } from 'd3-array'
import { beforeAll, describe, expect, it } from 'vitest'
import { ROLES } from '../../domain/people/permissions.ts'
import { setRoles } from '../../server/people/person/store.ts'
import { tellAttack } from '../attack/times.ts'
import { pagesOf, Rascal } from '../faults/nasty.ts'
import { routesOf } from '../support/addresses.ts'
import { EVERYTHING, openEveryOffice, readerOfEveryOffice, VALLEY_TODAY } from '../support/valley.ts'
import { linksOf } from '../support/walk.ts'
import { SEEN_BY } from './who-may-see.ts'

/** Everyone of the valley who signs in with one role each. */
const PEOPLE = ['besi', 'dovi', 'fanta', 'goro', 'isko', 'hila'] as const

let valley: Awaited<ReturnType<typeof openEveryOffice>>
/** Each address that a person may open, with an id in it that the book knows wherever one is linked. */
let addresses: Map<string, string>

beforeAll(async () => {
  valley = await openEveryOffice()
  const persons = await valley.db.selectFrom('person').select(['entryId', 'signInName']).execute()
  const idOf = (name: string) => persons.find(({ signInName }) => signInName === name)!.entryId
  const writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`
  await valley.db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: idOf(EVERYTHING), writtenAt }
    for (const [at, name] of PEOPLE.entries()) await setRoles(pen, idOf(name), [ROLES[at]!], VALLEY_TODAY)
  })
  const pages = await pagesOf(await readerOfEveryOffice())
  const linked = [...new Set(pages.flatMap(({ text }) => linksOf(text)).map((link) => link.split('?')[0]!))]
  const routes = routesOf(valley.app.printRoutes({ commonPrefix: false })).filter(
    ({ method, path }) => method === 'GET' && !path.includes('*'),
  )
  const fixed = new Set(routes.map(({ path }) => path))
  addresses = new Map(
    routes.map(({ path }) => {
      const [bare, way] = path.split('?')
      const pattern = new RegExp(`^${bare!.replace(/:\w+/g, '[^/]+')}$`)
      const real = linked.find((link) => pattern.test(link) && (link === bare || !fixed.has(link)))
      return [path, `${real ?? bare!.replace(/:\w+/g, 'x')}${way ? `?${way}` : ''}`]
    }),
  )
})

describe('who may see what', () => {
  it('is as the table says, for every address and every role', async () => {
    const roles = new Map<string, string[]>()
    for (const [at, name] of PEOPLE.entries()) {
      const visitor = new Rascal(valley.app)
      await visitor.signIn(name)
      for (const [path, real] of addresses) {
        const { status } = await visitor.open(real)
        if (status !== 403) roles.set(path, [...(roles.get(path) ?? []), ROLES[at]!])
      }
    }
    const seen = Object.fromEntries(
      group([...addresses.keys()].sort(), (path) => roles.get(path)?.join(' ') ?? 'nobody'),
    )
    tellAttack('who may see what', { addresses: addresses.size, roles: ROLES.length })
    expect(seen).toEqual(
      Object.fromEntries(Object.entries(SEEN_BY).map(([who, paths]) => [who, paths.trim().split(/\s+/).sort()])),
    )
  })
})
