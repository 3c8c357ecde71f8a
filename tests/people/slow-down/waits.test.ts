import { expect, it } from 'vitest'
import { waitSeconds } from '../../../domain/people/slow-down.ts'

const wait = (together: number, ofName = together, fromAddress = together) =>
  waitSeconds({ together, ofName, fromAddress })

it('the third miss of one name from one device waits a second, each further one twice as long, and none longer than eight', () => {
  expect([0, 1, 2, 3, 4, 5, 6, 7, 12].map((misses) => wait(misses))).toEqual([0, 0, 0, 1, 2, 4, 8, 8, 8])
})

it('the twentieth miss of a name from everywhere waits four, and so does an address with its thirtieth name', () => {
  expect([19, 20, 21].map((ofName) => wait(0, ofName, 0))).toEqual([0, 4, 4])
  expect([29, 30, 31].map((fromAddress) => wait(0, 0, fromAddress))).toEqual([0, 4, 4])
  expect([wait(4, 20, 0), wait(4, 20, 30), wait(6, 20, 30)]).toEqual([4, 4, 8])
})
