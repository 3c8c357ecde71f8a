/* Runs inside an empty page of the book, of which nobody sees anything: nothing of it is painted, all of it is laid out. */

const frames = document.getElementsByTagName('iframe')

/** Shows the text of a page in a frame as wide as a window, which is kept for the next page. */
const framed = (text, widthPx, heightPx, at = 0) =>
  new Promise((done) => {
    const frame = frames[at] ?? document.body.appendChild(document.createElement('iframe'))
    Object.assign(frame, { width: widthPx, height: heightPx, frameBorder: 0 })
    Object.assign(frame.style, { visibility: 'hidden', display: '' })
    // The page before it may still say that it is there.
    const isThere = () => {
      if (frame.contentDocument.readyState !== 'complete') return
      frame.removeEventListener('load', isThere)
      done(frame.contentDocument)
    }
    frame.addEventListener('load', isThere)
    frame.contentDocument.open()
    frame.contentDocument.write(text)
    frame.contentDocument.close()
  })

/** The same page in a window of another width: whoever asks for a place on it has it laid out anew. */
const widened = (page, widthPx) => {
  page.defaultView.frameElement.width = widthPx
  return page
}

/** Between two measures: a page that is not shown is not laid out each time that the browser might paint. */
const laidAside = (frame, faults) => {
  frame.style.display = 'none'
  return faults
}

/** The faults of each of some pages, side by side. */
globalThis.faultsInFrames = ({ texts, widthsPx, heightPx }, measure) =>
  Promise.all(
    texts.map(async (text, at) => {
      const page = await framed(text, widthsPx[0], heightPx, at)
      const faults = widthsPx.flatMap((widthPx) =>
        measure(widened(page, widthPx), widthPx).map((fault) => `at ${widthPx} px ${fault}`),
      )
      return laidAside(frames[at], faults)
    }),
  )

/** How long a page is, and its header. */
globalThis.lengthsInFrame = async ({ text, widthPx, heightPx }) => {
  const page = await framed(text, widthPx, heightPx)
  return [page.documentElement, page.querySelector('header')].map((part) => part.getBoundingClientRect().height)
}

/**
 * The pages that were measured last, in a window that shows them as they print by now. One that the style sheet prints on a paper of its own
 * is laid out again for its width.
 */
globalThis.faultsInPapers = ({ count, uprightPx, papersPx, heightPx }, measure) =>
  [...frames].slice(0, count).map((frame) => {
    frame.height = heightPx
    frame.style.display = ''
    const upright = widened(frame.contentDocument, uprightPx)
    const widthPx = papersPx[getComputedStyle(upright.body).page] ?? uprightPx
    return laidAside(frame, measure(widened(upright, widthPx), widthPx))
  })

/** What a checker that was put into the first frame says of a page there, after the measures. */
globalThis.checkedInFrame = async ({ text, widthPx, heightPx, rules }, measure) => {
  const page = await framed(text, widthPx, heightPx)
  const faults = measure(page, widthPx).map((fault) => `at ${widthPx} px ${fault}`)
  const { violations } = await page.defaultView.axe.run(page, rules)
  const told = violations.map(
    ({ id, nodes }) => `${id} ${nodes[0].target} ${nodes[0].failureSummary} (${nodes.length})`,
  )
  return [...faults, ...told]
}
