/* Runs inside an empty page of the book, of which nobody sees anything: nothing of it is painted, all of it is laid out. */

/** Shows the text of a page in a frame as wide as a window, which is kept for the next page. */
const framed = (text, widthPx, heightPx) =>
  new Promise((done) => {
    const frame = document.querySelector('iframe') ?? document.body.appendChild(document.createElement('iframe'))
    Object.assign(frame, { width: widthPx, height: heightPx, frameBorder: 0 })
    frame.style.visibility = 'hidden'
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

globalThis.faultsInFrames = async ({ text, widthsPx, heightPx }, measure) => {
  const page = await framed(text, widthsPx[0], heightPx)
  return widthsPx.flatMap((widthPx) =>
    measure(widened(page, widthPx), widthPx).map((fault) => `at ${widthPx} px ${fault}`),
  )
}

/** How long a page is, and its header. */
globalThis.lengthsInFrame = async ({ text, widthPx, heightPx }) => {
  const page = await framed(text, widthPx, heightPx)
  return [page.documentElement, page.querySelector('header')].map((part) => part.getBoundingClientRect().height)
}

/**
 * The page that was measured last, in a window that shows it as it prints by now. One that the style sheet prints on a paper of its own is
 * laid out again for its width.
 */
globalThis.faultsInPaper = ({ uprightPx, papersPx, heightPx }, measure) => {
  const frame = document.querySelector('iframe')
  frame.height = heightPx
  const upright = widened(frame.contentDocument, uprightPx)
  const widthPx = papersPx[getComputedStyle(upright.body).page] ?? uprightPx
  return measure(widened(upright, widthPx), widthPx)
}
