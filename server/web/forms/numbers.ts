/** More things than this are chosen by their numbers. Own choice, no source. */
const MOST_BY_ID = 120

/** Fields that name things of the book. */
const NAMES_THINGS = /(Ids?|place|outlet[AB])$/

/**
 * What a long choice sends in place of ids, such as `plot#12`, and the ids again. An id is drawn at random, so that no packer makes it
 * shorter: four hundred of them are 5 kB on a weak line, as much as all the words beside them.
 */
export interface Numbers {
  numberOf: ReadonlyMap<string, string>
  idOf: ReadonlyMap<string, string>
}

export const NO_NUMBERS: Numbers = { numberOf: new Map(), idOf: new Map() }

/** Things by their kinds. A number that stands twice, as it can after books were joined, stands for nothing. */
export function numbersOf(kinds: Readonly<Record<string, readonly { id: string; number: number }[]>>): Numbers {
  const all = Object.entries(kinds).flatMap(([kind, things]) =>
    things.map(({ id, number }) => ({ id, sent: `${kind}#${number}` })),
  )
  const idOf = new Map(all.map(({ id, sent }) => [sent, id]))
  for (const { id, sent } of all) if (idOf.get(sent) !== id) idOf.delete(sent)
  return { idOf, numberOf: new Map([...idOf].map(([sent, id]) => [id, sent])) }
}

export type Options = Readonly<Record<string, readonly { value: string }[] | undefined>>

/** The choices of a form, the long ones with what is sent in place of each id. */
export async function withNumbers(options: Options, numbers: () => Promise<Numbers>): Promise<Options> {
  const long = Object.keys(options).filter((name) => NAMES_THINGS.test(name) && isLong(options[name]))
  if (long.length === 0) return options
  const { numberOf } = await numbers()
  const sent = long.map((name) => [
    name,
    options[name]!.map((option) => ({ ...option, sent: swapped(option.value, numberOf) })),
  ])
  return { ...options, ...Object.fromEntries(sent) }
}

function isLong(choice: Options[string]): boolean {
  return (choice?.length ?? 0) > MOST_BY_ID
}

/** What a form brought, with ids where numbers were sent; a number that stands for nothing stays, and is refused like any answer that was not offered. */
export async function withIds(body: unknown, numbers: () => Promise<Numbers>): Promise<unknown> {
  // Bare text would be looked at letter by letter.
  if (typeof body !== 'object' || body === null) return body
  const sent = Object.entries(body).filter(
    ([name, value]) => NAMES_THINGS.test(name) && [value].flat().some((one) => /#\d+$/.test(String(one))),
  )
  if (sent.length === 0) return body
  const { idOf } = await numbers()
  const back = (one: unknown) => (typeof one === 'string' ? swapped(one, idOf) : one)
  const named = sent.map(([name, value]) => [name, Array.isArray(value) ? value.map(back) : back(value)])
  return { ...body, ...Object.fromEntries(named) }
}

/** The name of a thing in place of its other one; what its kind says before a colon stays. */
function swapped(value: string, names: ReadonlyMap<string, string>): string {
  const at = value.indexOf(':') + 1
  return value.slice(0, at) + (names.get(value.slice(at)) ?? value.slice(at))
}
