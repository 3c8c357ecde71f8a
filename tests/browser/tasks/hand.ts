import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import type { Visitor } from '../../support/visitor.ts'

const SCRIPTS = ['framed.js', 'tapped.js'].map((name) =>
  readFileSync(new URL(`../measuring/${name}`, import.meta.url), 'utf8'),
)
const PHONE = { widthPx: 360, heightPx: 740 }

/**
 * The phone of somebody who reads and has not sent anything yet: a page is laid out in a frame and tapped there, where it can be seen and
 * nothing lies over it, and where a tap leads is asked of the book. Nothing is painted, which takes a browser longest.
 */
export class Hand {
  at = ''
  private readonly frames: Page
  private readonly visitor: Visitor

  constructor(frames: Page, visitor: Visitor) {
    this.frames = frames
    this.visitor = visitor
  }

  async open(address: string): Promise<void> {
    const { status, path, text } = await this.visitor.open(address)
    if (status !== 200) throw new Error(`${address} answers ${status}`)
    this.at = path
    await this.frames.evaluate(
      `${SCRIPTS.join('')}framed(${JSON.stringify(text)}, ${PHONE.widthPx}, ${PHONE.heightPx}).then(() => {})`,
    )
  }

  /** The first link or fold that has the words. */
  async tap(words: string | RegExp): Promise<void> {
    const called = typeof words === 'string' ? { words } : { pattern: words.source, flags: words.flags }
    const { to, trouble } = await this.ask<{ to?: string; trouble?: string }>(`tapped(page, ${JSON.stringify(called)})`)
    if (trouble) throw new Error(`“${words}” on ${this.at} ${trouble}`)
    if (to && !to.startsWith('#')) await this.open(to.replace(/#.*/, ''))
  }

  /** The words that can be seen, and how many buttons send something. */
  seen(): Promise<{ words: string; sends: number }> {
    return this.ask('seenOn(page)')
  }

  private ask<T>(question: string): Promise<T> {
    return this.frames.evaluate<T>(`{ const page = document.querySelector('iframe').contentDocument; ${question} }`)
  }
}
