/** Around words that stand in English for want of others: left to right in any surroundings (UAX 9, 2.4). */
const BORROWED = { from: '\u2066', to: '\u2069' }

/** English words among others. */
export function borrowed(words: string): string {
  return `${BORROWED.from}${words}${BORROWED.to}`
}

const TAGS = /(<[^>]*>)/
/** In these nothing but plain text may stand. */
const ONLY_TEXT = /^<(\/?)(title|option|textarea|text|tspan|desc)\b/i

/** Says of every borrowed sentence on a page that it is English; where only plain text may stand, its signs hold it in order. */
export function withBorrowed(html: string): string {
  if (!html.includes(BORROWED.from)) return html
  let inPlain = 0
  return html
    .split(TAGS)
    .map((part) => {
      if (part.startsWith('<')) {
        const plain = ONLY_TEXT.exec(part)
        if (plain && !part.endsWith('/>')) inPlain += plain[1] === '/' ? -1 : 1
        return part
      }
      return inPlain > 0 ? part : marked(part)
    })
    .join('')
}

function marked(text: string): string {
  const [begins, ends] = [text.split(BORROWED.from).length, text.split(BORROWED.to).length]
  // Cut short by the page it is left as it is.
  if (begins === 1 || begins !== ends) return text
  return text.replaceAll(BORROWED.from, '<span lang="en" dir="ltr">').replaceAll(BORROWED.to, '</span>')
}
