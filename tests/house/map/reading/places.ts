/** A room may know the rooms before it, never those after. */
export const ROOMS = ['people', 'works', 'water', 'crops', 'rotation', 'abstractions', 'fees', 'paper', 'home']

/** What stands beside the rooms on the floor of the server. */
export const HALLS = ['web', 'book', 'database']

export function floorOf(file: string): string {
  return file.split('/')[0]!
}

/** The room in which a file stands, or the hall, or nothing for what stands beside them all. */
export function roomOf(file: string): string {
  const room = /^server\/database\/tables\/(\w+)\.ts$/.exec(file)?.[1] ?? file.split('/')[1] ?? ''
  return [...ROOMS, ...HALLS].includes(room) ? room : ''
}

/** A thing is the folder or the file of its name under a room: `server/rotation/swap`, `domain/rotation/swap`. */
export function thingOf(file: string): string {
  return file.split('/').slice(0, 3).join('/').replace(/\.ts$/, '')
}
