import type { House } from '../reading/house.ts'

/** One place where the house is not yet as it should be. */
export interface Finding {
  file: string
  line?: number
  says: string
}

export interface Measure {
  name: string
  says: string
  find: (house: House) => Finding[]
}
