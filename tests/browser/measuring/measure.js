/* Runs inside a page and gives back its faults as sentences: nothing of it is ever sent to a visitor. */
globalThis.faultsOnScreen = (document, innerWidth) => {
  const THUMB_PX = 44
  const SLACK_PX = 1

  const isSeen = (element) => {
    const { width, height } = element.getBoundingClientRect()
    const style = getComputedStyle(element)
    return width > 1 && height > 1 && style.visibility !== 'hidden' && style.display !== 'none'
  }
  const name = (element) =>
    `${element.tagName.toLowerCase()}${element.className?.length ? `.${element.className}` : ''} "${(element.name || element.textContent || '').trim().replace(/\s+/g, ' ').slice(0, 40)}"`
  const scrollingBox = (element) => {
    for (let box = element.parentElement; box && box !== document.body; box = box.parentElement) {
      if (['auto', 'scroll'].includes(getComputedStyle(box).overflowX)) return box
    }
    return null
  }

  const widePage = () => {
    const wide = document.documentElement.scrollWidth
    return wide > innerWidth ? [`the page is ${wide} px wide in a window of ${innerWidth} px`] : []
  }

  /** What lies beyond the right edge can only be reached inside a box that scrolls by itself. */
  const runsOff = () =>
    [...document.querySelectorAll('main *, header *, footer *')]
      .filter((element) => element.getBoundingClientRect().right > innerWidth + SLACK_PX)
      .filter((element) => isSeen(element) && !element.closest('.unseen, .skip, svg *') && !element.closest('thead'))
      .filter((element) => !scrollingBox(element))
      .slice(0, 3)
      .map((element) => `${name(element)} runs off the page to ${Math.round(element.getBoundingClientRect().right)} px`)

  /** A table of a few columns shows them all: a figure that lies beyond the edge of its box is not seen. */
  const FEW_COLUMNS = 3
  const hiddenFigures = () =>
    [...document.querySelectorAll('main .ruled > table')]
      .filter((table) => isSeen(table) && !table.querySelector('input, select, .digits'))
      .filter(({ rows }) => rows.length > 0 && rows[0].cells.length <= FEW_COLUMNS)
      .filter(({ parentElement: box }) => box.scrollWidth > box.clientWidth + SLACK_PX)
      .map((table) => `${name(table)} hides a column of few`)

  /** A box to tick is as large as itself and its label together. */
  const heightOf = (element) => {
    const labels = ['checkbox', 'radio'].includes(element.type) ? element.labels : []
    const boxes = [element, ...labels].map((one) => one.getBoundingClientRect())
    return Math.max(...boxes.map((box) => box.bottom)) - Math.min(...boxes.map((box) => box.top))
  }
  /** The element that an element's words flow in, as a sentence does in its paragraph. */
  const flowOf = (element) => {
    const box = element.parentElement
    return ['inline', 'contents'].includes(getComputedStyle(box).display) ? flowOf(box) : box
  }
  const wordsOfFlow = (box) => {
    const walker = document.createTreeWalker(box, NodeFilter.SHOW_TEXT)
    let words = ''
    while (walker.nextNode()) {
      const { parentElement: around, data } = walker.currentNode
      if (!around.closest('a, button') && (around === box || flowOf(walker.currentNode) === box)) words += data
    }
    return words
  }
  /** Asked once of what many links stand in. */
  const sayings = new Map()
  const saysMore = (box) => {
    if (!sayings.has(box)) sayings.set(box, /[\p{L}\d]/u.test(wordsOfFlow(box)))
    return sayings.get(box)
  }
  /** A link with words around it is read, and tapped, within a sentence. */
  const standsAlone = (link) => !link.closest('svg') && !saysMore(flowOf(link))
  /** Of the many that are large enough nothing else is asked. */
  const small = (selector) =>
    [...document.querySelectorAll(selector)].filter((element) => heightOf(element) < THUMB_PX).filter(isSeen)
  const links = () => small('a[href]').filter(standsAlone)
  const controls = () => small('button, input, select, textarea, summary, .button, .doors a, nav a')
  const smallTargets = () =>
    [...new Set([...controls(), ...links()])]
      .slice(0, 3)
      .map((element) => `${name(element)} is ${Math.round(heightOf(element))} px high`)

  return [...widePage(), ...runsOff(), ...hiddenFigures(), ...smallTargets()]
}
