import type { House } from '../reading/house.ts'
import { floorOf, ROOMS, roomOf } from '../reading/places.ts'
import type { Finding } from './finding.ts'
import { programUses, type Use } from './uses.ts'

/** A room of the server is read by others through its stores and states, what it asks of later rooms, and what it keeps on paper. */
const OPEN_TO_OTHERS = /\/([\w-]+-)?(store|state|asks|paper)\.ts$/

/** Imports from one room of the server into the inside of another. */
export function reachesIn(house: House): Finding[] {
  return betweenRooms(house)
    .filter(({ file, owner }) => floorOf(file) === 'server' && floorOf(owner) === 'server')
    .filter(({ owner }) => !OPEN_TO_OTHERS.test(owner))
    .map(told)
}

/** Imports from a room that comes later in the reading order. */
export function againstTheOrder(house: House): Finding[] {
  return betweenRooms(house)
    .filter(({ file, owner }) => ROOMS.indexOf(roomOf(owner)) > ROOMS.indexOf(roomOf(file)))
    .map(told)
}

/** Imports of a room by a hall of the server, which should know none. */
export function hallsKnowRooms(house: House): Finding[] {
  return oneAFile(
    programUses(house).filter(
      ({ file, owner }) =>
        /^server\/(web|book)\//.test(file) && floorOf(owner) === 'server' && ROOMS.includes(roomOf(owner)),
    ),
  ).map(told)
}

function betweenRooms(house: House): Use[] {
  const others = programUses(house).filter(({ owner }) => !owner.startsWith('server/database/'))
  return oneAFile(
    others.filter(({ file, owner }) => {
      const rooms = new Set([roomOf(file), roomOf(owner)])
      return rooms.size === 2 && [...rooms].every((room) => ROOMS.includes(room))
    }),
  )
}

/** One use stands for all names that a file takes from another, so that every pair of files counts once. */
function oneAFile(uses: Use[]): Use[] {
  return [...new Map(uses.map((use) => [`${use.file} ${use.owner}`, use])).values()]
}

function told({ file, line, owner }: Use): Finding {
  return { file, line, says: `takes ${owner}` }
}
