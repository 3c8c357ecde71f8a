import { beforeAll, describe, expect, it } from 'vitest'
import { namedWeirs } from '../../../server/works/pump/store.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'
import { DANGERS } from './table.ts'

/** Every caution sends to the local codes and to whoever is licensed. */
const DEFERS = /[Ll]ocal (codes|rules)[^.]*licen[sc]ed/

let [amaru, dovi]: Visitor[] = []
let weirId = ''

beforeAll(async () => {
  const valley = await openValley()
  ;[amaru, dovi] = [await valley.signIn('amaru'), await valley.signIn('dovi')]
  weirId = (await namedWeirs(valley.db))[0]!.id
})

/** The page as the attendant sees it, or the committee where the attendant has no business there. */
async function seen(path: string): Promise<string> {
  const at = path.replace(':weir', weirId)
  const own = await dovi!.open(at)
  return own.status === 403 ? (await amaru!.open(at)).words : own.words
}

describe.each(DANGERS)('$danger', ({ words, pages, prints }) => {
  it.each([...pages, ...prints])('is told where the work is, with whom to ask: %s', async (path) => {
    const page = await seen(path)
    expect(page).toMatch(words)
    expect(page).toMatch(DEFERS)
  })
})
