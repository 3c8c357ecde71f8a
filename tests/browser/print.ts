import type { Page } from 'playwright-core'

/** Sheets of a PDF, by its own page objects (ISO 32000-1, 7.7.3.3: each has /Type /Page). */
export async function pagesPrinted(page: Page): Promise<number> {
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
  return (pdf.match(/\/Type\s*\/Page(?!s)/g) ?? []).length
}

/** What must not be on paper: a style attribute, words under 9 pt, any ink but black, a figure of money, words over the edge. */
export async function faultsOfPrint(page: Page): Promise<string[]> {
  await page.emulateMedia({ media: 'print' })
  const found = (await page.evaluate(`(${LOOK})()`)) as string[]
  // None at all: with one for screens the sheets themselves would be made by it.
  await page.emulateMedia({ media: null })
  return found
}

/** 9 pt at 96 px an inch, and as millimetres of a drawing. */
const LOOK = `() => {
  const faults = []
  const isSeen = (one) => one.checkVisibility() && one.getBoundingClientRect().width > 1
  for (const one of document.querySelectorAll('[style]')) faults.push('style attribute on ' + one.tagName)
  const own = (one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())
  for (const one of document.querySelectorAll('main *')) {
    if (!isSeen(one) || !own(one)) continue
    const size = one.closest('svg') ? Number(one.getAttribute('font-size') ?? 9) / 25.4 * 96 : parseFloat(getComputedStyle(one).fontSize)
    if (one.tagName !== 'title' && !one.closest('sup, sub') && size < 11.9) faults.push(size + ' px: ' + one.textContent.trim().slice(0, 30))
    const colour = getComputedStyle(one).color
    if (colour !== 'rgb(0, 0, 0)') faults.push(colour + ': ' + one.textContent.trim().slice(0, 30))
  }
  for (const svg of document.querySelectorAll('svg.drawn')) {
    const edge = svg.getBoundingClientRect()
    for (const text of svg.querySelectorAll('text')) {
      const box = text.getBoundingClientRect()
      if (box.right > edge.right + 2 || box.left < edge.left - 2) faults.push('over the edge: ' + text.textContent)
    }
  }
  return faults
}`
