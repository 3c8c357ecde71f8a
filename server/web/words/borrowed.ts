/** Around words that stand in English for want of others: left to right in any surroundings (UAX 9, 2.4). */
const BORROWED = '\u2066'
/** Around what a borrowed sentence tells in the reader's own script, as a day: in the order of its first letter. */
const OWN = '\u2068'
const END = '\u2069'
const SIGNS = /([\u2066\u2068\u2069])/

/** Letters of the scripts that are written from right to left. */
const FROM_RIGHT = /[\p{Script=Arabic}\p{Script=Hebrew}]/gu
/** What turns the order of a sentence: such letters, or the mark that dates hold for them. */
const TURNING = /[\p{Script=Arabic}\p{Script=Hebrew}\u200f]/u

/** English words among others. */
export function borrowed(words: string): string {
  return `${BORROWED}${words}${END}`
}

/** What a borrowed sentence is made with; what runs from the right keeps its own order in it. */
export function inBorrowed<Value>(values: Record<string, Value>): Record<string, Value | string> {
  const kept = (value: Value) => (typeof value === 'string' && TURNING.test(value) ? `${OWN}${value}${END}` : value)
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, kept(value)]))
}

/** In which language and direction a page is laid out. */
interface LaidOut {
  language: string
  dir: 'ltr' | 'rtl'
}

/** What lists to choose from hold, such as the names of all currencies, is no measure of what somebody reads. */
const CHOICES = /<option\b[^>]*>[^<]*/g

/** A page from right to left is laid out as an English one where most of its words are borrowed. */
export function laidOutAs(own: LaidOut, html: string): LaidOut {
  if (own.dir === 'ltr') return own
  const within: string[] = []
  let [ownLetters, borrowedLetters] = [0, 0]
  for (const piece of html.replace(CHOICES, ' ').replace(EVERY_TAG, ' ').split(SIGNS)) {
    if (piece === END) within.pop()
    else if (SIGNS.test(piece)) within.push(piece)
    else if (within.at(-1) === BORROWED) borrowedLetters += piece.match(/\p{L}/gu)?.length ?? 0
    else ownLetters += piece.match(FROM_RIGHT)?.length ?? 0
  }
  return ownLetters >= borrowedLetters ? own : { language: 'en', dir: 'ltr' }
}

const TAGS = /(<[^>]*>)/
const EVERY_TAG = /<[^>]*>/g
/** In these nothing but plain text may stand. */
const ONLY_TEXT = /^<(\/?)(title|option|textarea|text|tspan|desc)\b/i

/**
 * Says of every borrowed sentence on a page that it is English, and on a page that is laid out so (`page`) of every other that it is the
 * reader's own; where only plain text may stand, the signs hold it in order.
 */
export function withBorrowed(html: string, own: LaidOut, page: LaidOut): string {
  const isTurned = own.dir !== page.dir
  if (!html.includes(BORROWED) && !isTurned) return html
  const tongue = { language: own.language, isTurned }
  let inPlain = 0
  return html
    .split(TAGS)
    .map((part) => {
      if (part.startsWith('<')) {
        const plain = ONLY_TEXT.exec(part)
        if (plain && !part.endsWith('/>')) inPlain += plain[1] === '/' ? -1 : 1
        return part
      }
      return inPlain > 0 ? part : marked(part, tongue)
    })
    .join('')
}

function marked(text: string, { language, isTurned }: { language: string; isTurned: boolean }): string {
  const within: string[] = []
  const told = text.split(SIGNS).map((piece) => {
    if (piece === BORROWED) return opened(within, 'span', '<span lang="en" dir="ltr">')
    if (piece === OWN) return opened(within, 'bdi', `<bdi lang="${language}">`)
    if (piece === END) return `</${within.pop()}>`
    const isOwn = isTurned && within.length === 0 && TURNING.test(piece)
    return isOwn ? `<span lang="${language}" dir="rtl">${piece}</span>` : piece
  })
  // Cut short by the page it is left as it is.
  return within.length > 0 || told.includes('</undefined>') ? text : told.join('')
}

function opened(within: string[], name: string, tag: string): string {
  within.push(name)
  return tag
}
