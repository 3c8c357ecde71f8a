/* Runs inside a page shown as it prints, in a window as wide as the paper between its margins. */
globalThis.faultsOnPaper = (document, innerWidth) => {
  const looked = new Map()
  const isSeen = (element) => {
    if (!looked.has(element))
      looked.set(element, element.checkVisibility() && element.getBoundingClientRect().width > 1)
    return looked.get(element)
  }
  const channels = (colour) => (colour.match(/[\d.]+/g) ?? []).map(Number)
  const isClear = (colour) => channels(colour)[3] === 0
  const luminance = (colour) =>
    channels(colour)
      .slice(0, 3)
      .map((value) => value / 255)
      .map((value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4))
      .reduce((sum, value, at) => sum + value * [0.2126, 0.7152, 0.0722][at], 0)
  /** Asked once of each colour: a page has few. */
  const once = (ask) => {
    const known = new Map()
    return (colour) => known.get(colour) ?? known.set(colour, ask(colour)).get(colour)
  }
  const isGround = once((colour) => !isClear(colour) && luminance(colour) < 0.99)
  const isPale = once((colour) => luminance(colour) > 0.02)
  const name = (element) =>
    `${element.tagName.toLowerCase()}.${element.className} "${element.textContent.trim().slice(0, 40)}"`

  const saysSomething = (element) =>
    [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())

  const left = [...document.querySelectorAll('form, nav, button, .skip')]
    .filter(isSeen)
    .map((element) => `${name(element)} is printed`)
  /** A way back leads nowhere from paper. */
  const doors = [...document.querySelectorAll('main > p > a:only-child')]
    .filter(isSeen)
    .filter((link) => link.textContent.trim() === 'Back' && link.parentElement.textContent.trim() === 'Back')
    .map((link) => `${name(link)} is printed`)
  /** Who or when a line is about stands before its words, not under them. */
  const covered = [...document.querySelectorAll('.list .at, .day-list .at')]
    .filter((one) => isSeen(one) && one.scrollWidth > one.clientWidth + 1)
    .slice(0, 3)
    .map((one) => `${name(one)} runs into the words of its line`)
  /** What is heard, and rows that are none, are nothing on paper. */
  const mute = [...document.querySelectorAll('audio, table:not(:has(tbody tr))')]
    .filter(isSeen)
    .map((element) => `${name(element)} is printed without anything in it`)
  /** A heading over what is left out of the print stands over nothing. */
  const lonely = []
  const levelOf = (element) => Number(element.tagName[1])
  let open = []
  const ends = (level) => {
    lonely.push(
      ...open.filter((heading) => levelOf(heading) >= level).map((heading) => `${name(heading)} has nothing under it`),
    )
    open = open.filter((heading) => levelOf(heading) < level)
  }
  const main = document.querySelector('main') ?? document.body
  for (const element of [...main.querySelectorAll('*:not(svg *)')].filter(isSeen)) {
    if (element.matches('h2, h3, h4') && !element.closest('.leaf-head')) {
      ends(levelOf(element))
      open.push(element)
    } else if (!element.closest('h2, h3, h4') && (element.tagName === 'svg' || saysSomething(element))) open = []
  }
  ends(0)
  const wide = document.documentElement.scrollWidth
  const tooWide = wide > innerWidth ? [`the page is ${wide} px wide on paper of ${innerWidth} px`] : []
  const cut = [...document.querySelectorAll('main table')]
    .filter((table) => isSeen(table) && table.getBoundingClientRect().right > innerWidth + 1)
    .map((table) => `${name(table)} is cut at the edge of the paper`)
  const elements = [document.body, ...document.querySelectorAll('body *:not(svg, svg *)')].filter(isSeen)
  const shaded = elements
    .filter((element) => isGround(getComputedStyle(element).backgroundColor))
    .map((element) => `${name(element)} is printed on a ground of ${getComputedStyle(element).backgroundColor}`)
  const pale = elements
    .filter(saysSomething)
    .filter((element) => isPale(getComputedStyle(element).color))
    .map((element) => `${name(element)} is printed in ${getComputedStyle(element).color}`)
  return [
    ...left,
    ...doors,
    ...covered,
    ...mute,
    ...lonely,
    ...tooWide,
    ...cut,
    ...shaded.slice(0, 3),
    ...pale.slice(0, 3),
  ]
}
