import { existsSync } from 'node:fs'

/** The browser without its windows draws the same and opens a page in two thirds of the time. */
const PLACES = ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium']

/** Where the browser of the page tests is, or would be. */
export const CHROMIUM = process.env.CHROMIUM ?? PLACES.find((place) => existsSync(place)) ?? PLACES[0]!
