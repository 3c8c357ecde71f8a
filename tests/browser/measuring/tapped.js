/* Runs inside an empty page of the book, in which a page is framed: taps it as a finger does. */
globalThis.tapped = (page, { words, pattern, flags }) => {
  const isSeen = (element) => {
    const { width, height } = element.getBoundingClientRect()
    return width > 0 && height > 0 && element.checkVisibility({ visibilityProperty: true })
  }
  const folded = (text) => text.trim().replace(/\s+/g, ' ').toLowerCase()
  const isCalled = ({ textContent: text }) =>
    pattern === undefined ? folded(text).includes(folded(words)) : new RegExp(pattern, flags).test(text)
  // A fold that stands open is not tapped: what it holds is there to be seen.
  const door = [...page.querySelectorAll('a, details:not([open]) > summary, button')].find(
    (one) => isCalled(one) && isSeen(one),
  )
  if (!door) return { trouble: 'is not there to be seen' }
  door.scrollIntoView({ block: 'center', behavior: 'instant' })
  const { left, top, width, height } = [...door.getClientRects()].find((part) => part.width > 0 && part.height > 0)
  if (!door.contains(page.elementFromPoint(left + width / 2, top + height / 2)))
    return { trouble: 'lies under something' }
  if (door.matches('a')) return { to: door.getAttribute('href') }
  if (door.matches('button')) return { trouble: 'sends a form' }
  door.click()
  return {}
}

/** The words that can be seen, and how many buttons send something. */
globalThis.seenOn = (page) => {
  // biome-ignore lint/performance/useDomNodeTextContent: words in a closed fold are not seen.
  const words = page.querySelector('main').innerText
  const buttons = [...page.querySelectorAll('main form[method=post] button')]
  return { words, sends: buttons.filter((one) => one.checkVisibility()).length }
}
