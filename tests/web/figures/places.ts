/** A figure of a template and what names the place where it stands: `{ received: it.f.volume(share.receivedM3) }`, or a label before it. */
export interface Placed {
  figure: string
  place: string
}

const FIGURE = String.raw`(?:(?:\w+\.)*f\.\w+\([^()]*\)|[A-Za-z_]\w*(?:[?!]?\.\w+)+)`
const LABELLED = new RegExp(
  String.raw`(?:data-label="|<dt[^>]*>)<%= (?:it\.)?t\('([\w.-]+)'[^%]*%>(?:"[^>]*>|</dt>\s*<dd[^>]*>)<%= (${FIGURE}) %>`,
  'g',
)

/** In an argument of a sentence; beside the label of a fact; in a cell that tells its column. */
export function figuresInPlaces(text: string): Placed[] {
  const inSentence = sentences(text).flatMap((values) => [
    ...values.matchAll(new RegExp(String.raw`[{,]\s*(\w+): (${FIGURE})(?=\s*[,}])`, 'g')),
  ])
  return [...inSentence, ...text.matchAll(LABELLED)]
    .map(([, place, figure]) => ({ place: place!.split('.').slice(-2).join(' '), figure: figure! }))
    .filter(({ place, figure }) => place !== 'count' && !/\.(t|has|can|length)$|^it\.(t|has|can)$/.test(figure))
}

/** What is handed to each `t('key', { … })`. */
function sentences(text: string): string[] {
  return [...text.matchAll(/\bt\([^()]*?(\{)/g)].map(({ index, 0: begin }) => {
    const from = index + begin.length - 1
    let to = from + 1
    for (let open = 1; open > 0 && to < text.length; to++) open += { '{': 1, '}': -1 }[text[to]!] ?? 0
    return text.slice(from, to)
  })
}

const DAY = 'date weekday instant day on at since from last written'

/** What the words on the screen are called in the program, where they are not the same: one word for one thing, or a reason to find one. */
const CALLED: Record<string, string> = {
  ...{
    day: DAY,
    date: DAY,
    when: DAY,
    since: DAY,
    until: `${DAY} end to`,
    year: DAY,
    done: 'serviced',
    time: 'clock at',
  },
  ...{
    from: 'start first opening low days',
    to: 'end last until closing high latest',
    window: 'start',
    low: 'earliest',
    high: 'latest',
  },
  ...{
    first: 'writer',
    second: 'approver',
    written: `${DAY} writer by`,
    who: 'name by',
    writer: 'name by',
    by: 'name',
  },
  ...{
    name: 'number words by',
    names: 'under',
    language: 'name',
    crop: 'name',
    reference: 'id',
    number: 'minute outlets slip plot',
  },
  ...{
    volume: 'm3 tenth likely above',
    litres: 'm3 l',
    flow: 'm3',
    depth: 'height mm',
    cm: 'drawdown',
    area: 'm2',
    cans: 'm3',
    jerrycans: 'can',
  },
  ...{ amount: 'minor total money closing above', part: 'percent fraction', percent: 'fraction', size: 'can' },
  ...{
    due: 'entitled',
    given: 'allocated',
    gets: 'allocated',
    asked: 'requested',
    kept: 'reserve floor',
    keep: 'reserve',
  },
  ...{
    limit: 'permit',
    tolerance: 'uncertainty',
    drinking: 'drunk',
    shortest: 'min',
    longest: 'max',
    more: 'to',
    of: 'left',
  },
  ...{
    before: 'opening',
    after: 'closing',
    pay: 'owed',
    result: 'open',
    closing: 'amount',
    reason: 'follow',
    why: 'decided',
  },
  ...{
    reached: 'irrigation',
    use: 'evapotranspiration',
    drained: 'percolation',
    used: 'depletion',
    head: 'depletion',
    p: 'depletion',
  },
  ...{
    words: 'region planted hearing urgent',
    days: 'likely earliest come',
    weeks: 'count',
    plots: 'without',
    tank: 'name',
  },
  ...{
    comparison: 'allocated values available',
    rate: 'cm',
    decimal: 'two',
    taken: 'crowding',
    initial: 'ini',
    value: 'jain',
  },
  ...{ today: 'readily', times: 'exaggeration', doubt: 'deviation', full: 'sand', all: 'loss', typed: 'value' },
}

/** Whether a figure is called as its place is, or as `CALLED` says. */
export function fits({ place, figure }: Placed): boolean {
  const told = wordsOf(figure)
  const wanted = wordsOf(place).flatMap((word) => [word, ...(CALLED[word]?.split(' ') ?? [])])
  return told.some((word) => wanted.some((other) => isSame(word, other)))
}

function isSame(one: string, other: string): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one]
  return short === long || (short.length > 3 && long.startsWith(short))
}

function wordsOf(name: string): string[] {
  const words = name
    .replace(/([a-z\d])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^a-z\d]+/)
  return words.filter((word) => word && !/^(it|f)$/.test(word))
}

const TOLD = /(?:\b\w+\.)*\bf\.\w+\([^()]*\)|(?<==\s)[A-Za-z_]\w*(?:\.\w+)+(?= %>)/g

/** What one row, line or paragraph tells twice, the ways of an `else` apart: a line that was copied and not changed. */
export function toldTwice(text: string): string[] {
  const rows = text.split(/<\/(?:tr|li|p|dl|h\d|svg|option)>|<% \} else|<%?~? ?include\(/)
  return rows.flatMap((row) => {
    const told = [...row.matchAll(TOLD)].map(([figure]) => figure.replace(/^it\.f\./, 'f.'))
    return [...new Set(told.filter((figure, at) => told.indexOf(figure) !== at))]
  })
}
