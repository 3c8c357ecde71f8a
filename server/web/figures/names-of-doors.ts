/** So many doors are named on their fold while it is closed. */
const NAMED_DOORS = 4

type Door = readonly [href: string, name: string]

/** What a fold of doors holds, in the names of the first of them; nothing where it holds none. What is no door for the visitor is left out. */
export function namesOf(doors: readonly (Door | false | null | undefined)[]): string {
  const names = [...new Set(doors.flatMap((door) => (door ? [door[1]] : [])))]
  return [...names.slice(0, NAMED_DOORS), ...(names.length > NAMED_DOORS ? ['…'] : [])].join(' · ')
}
