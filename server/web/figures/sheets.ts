/** A long list in sheets that come over a weak line one at a time; `all` asks for the whole, to be printed. */
interface Sheet<T> {
  shown: T[]
  /** Null where there is none. */
  before: number | null
  after: number | null
  number: number
  count: number
}

export function sheetOf<T>(list: readonly T[], { asked, size }: { asked: string | undefined; size: number }): Sheet<T> {
  const count = Math.max(1, Math.ceil(list.length / size))
  if (asked === 'all') return { shown: [...list], before: null, after: null, number: 1, count: 1 }
  const number = Math.min(Math.max(1, Math.trunc(Number(asked)) || 1), count)
  return {
    shown: list.slice((number - 1) * size, number * size),
    before: number > 1 ? number - 1 : null,
    after: number < count ? number + 1 : null,
    number,
    count,
  }
}

/** A list cut into pages of so many, in its order. */
export function chunksOf<T>(list: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(list.length / size) }, (_, at) => list.slice(at * size, (at + 1) * size))
}
