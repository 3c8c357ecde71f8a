import type { Page } from 'playwright-core'

/** The first link, fold or button that has the words; what one cannot see cannot be tapped. */
export async function tap(phone: Page, words: string | RegExp): Promise<void> {
  await phone
    .locator('a:visible, details:not([open]) > summary:visible, button:visible', { hasText: words })
    .first()
    .click()
  await phone.waitForLoadState()
}

export async function wordsOf(phone: Page): Promise<string> {
  return (await phone.locator('main').allInnerTexts()).join(' ')
}
