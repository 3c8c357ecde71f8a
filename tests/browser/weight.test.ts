import { gunzipSync } from 'node:zlib'
import { beforeAll, describe, expect, it } from 'vitest'
import { startSession } from '../../server/people/session/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

/** What comes in the first answer of a slow line: ten packets of 1,460 bytes (RFC 6928), headings counted off. */
const MOST_BYTES = 14_000

describe('what a phone has to load', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let cookie: string
  beforeAll(async () => {
    valley = await openValley()
    const { entryId } = await valley.db
      .selectFrom('person')
      .select('entryId')
      .where('name', '=', 'Dovi Marrok')
      .executeTakeFirstOrThrow()
    cookie = `commonweir_session=${await startSession(valley.db, { personId: entryId, at: new Date(`${VALLEY_TODAY}T10:00:00Z`), isShared: false })}`
  })

  /** Without a certificate a browser asks for gzip at best. */
  async function packed(url: string): Promise<{ bytes: number; words: string }> {
    const response = await valley.app.inject({ url, headers: { cookie, 'accept-encoding': 'gzip, deflate' } })
    expect([url, response.statusCode, response.headers['content-encoding']]).toEqual([url, 200, 'gzip'])
    return { bytes: response.rawPayload.length, words: gunzipSync(response.rawPayload).toString() }
  }

  it.each([
    ...[
      '/log/days/2026-11-25',
      '/turn',
      '/log/water?use=drinking',
      '/water/levels/new',
      '/crops/weather',
      '/',
      '/water/went',
      '/log/working/pumps',
    ],
    ...[
      '/paper/whole',
      '/paper/lines/pump-log',
      '/paper/lines/turns',
      '/paper/lines/pump-readings',
      '/log/lines/tank-day',
    ],
    ...['/paper/pump-log/type', '/paper/slips/type', '/paper/requests/type', '/paper/tanks/type'],
  ])('is under 14 kB for the attendant at %s', async (path) => {
    const turn = await valley.db.selectFrom('turn').select('id').orderBy('id', 'desc').executeTakeFirstOrThrow()
    const page = await packed(path === '/turn' ? `/log/turns/${turn.id}` : path)
    expect(page.words).toContain('Dovi Marrok')
    expect(page.bytes).toBeLessThan(MOST_BYTES)
  })

  it('loads one style sheet and one small mark besides, and nothing from elsewhere', async () => {
    const { words } = await packed('/log/days/2026-11-25')
    const loaded = [...words.matchAll(/<(?:link|img|script|iframe)[^>]*?(?:href|src)="([^"]+)"/g)].map(
      (match) => match[1]!,
    )
    expect(loaded.sort()).toEqual(['/assets/commonweir.css', '/assets/drop.svg'])
    const sheet = await valley.app.inject({ url: loaded[0]!, headers: { 'accept-encoding': 'gzip' } })
    expect(sheet.rawPayload.length).toBeLessThan(MOST_BYTES)
  })
})
