import type { Id } from '../../../domain/id.ts'
import { drawingOf, markKey, PICTURES, type PictureKey } from '../../../domain/people/mark/pictures.ts'
import { FRAMES } from '../../../domain/people/mark/types.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { markWords } from './shown.ts'
import { markFacts, struckPictures } from './store.ts'
import { marksTaken } from './taken.ts'

/** The pictures of which at least one frame is free for a person, each with whether it is free bare. */
export async function picturesFor(desk: Desk, personId: Id<'person'>) {
  const taken = await takenFor(desk, personId)
  const struck = await struckPictures(desk.db)
  return PICTURES.filter(({ key }) => !struck.has(key)).flatMap(({ key }) => {
    const free = FRAMES.filter((frame) => !taken.has(markKey({ picture: key, frame })))
    const first = free[0]
    return first ? [{ picture: key, drawing: drawingOf({ picture: key, frame: first }) }] : []
  })
}

/** A picture in each frame, and who goes by it or went by it until lately. */
export async function framesOf(desk: Desk, personId: Id<'person'>, picture: PictureKey) {
  const taken = await takenFor(desk, personId)
  const isStruck = (await struckPictures(desk.db)).has(picture)
  return FRAMES.map((frame) => {
    const by = taken.get(markKey({ picture, frame })) ?? null
    const words = markWords(desk.t, { picture, frame })
    return { frame, drawing: drawingOf({ picture, frame }), words, by, isFree: by === null && !isStruck }
  })
}

/** All marks in rows for the sheet to choose from: the pictures not struck out, each frame free or taken. */
export async function sheetPictures(desk: Desk) {
  const taken = await takenFor(desk, '')
  const struck = await struckPictures(desk.db)
  return {
    rows: PICTURES.filter(({ key }) => !struck.has(key)).map(({ key }) => ({
      picture: key,
      drawings: FRAMES.map((frame) => ({
        ...drawingOf({ picture: key, frame }),
        isFree: !taken.has(markKey({ picture: key, frame })),
      })),
    })),
    struckCount: struck.size,
  }
}

async function takenFor({ db, today, group }: Desk, personId: Id<'person'>) {
  return marksTaken(await markFacts(db), { on: today, season: group, exceptPersonId: personId })
}
