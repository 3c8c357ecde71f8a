import { expect, it } from 'vitest'
import { listWeirs } from '../../../server/water/weir/store.ts'
import { openValley } from '../../support/valley.ts'
import { tableRows } from '../support.ts'

const DAY = /\d{1,2} \w+ \d{4}/

it('the days by the old table are those of the page of the water, though the reading is six days old', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const [head] = await listWeirs(valley.db)
  const rows = tableRows(await amaru.open(`/water/weirs/${head!.id}/check`), 'Days until only')
  const [cautious, middle] = rows.map(([, old]) => DAY.exec(old!)?.[0])
  const water = /most likely near (\d+ \w+ \d{4}), as early as (\d+ \w+ \d{4})/.exec(
    (await amaru.open('/water')).words,
  )!
  expect([middle, cautious]).toEqual([water[1], water[2]])
})
