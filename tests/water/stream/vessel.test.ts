import { describe, expect, it } from 'vitest'
import { bucketFlow as caughtInStream } from '../../../domain/water/stream/gauging.ts'
import { bucketFlow as caughtAtOutlet } from '../../../domain/works/bucket.ts'

describe('the same vessel and watch', () => {
  it.each([
    [20, [12, 12.5, 11.8, 12.2]],
    [20, [5, 5.2, 4.9]],
    [20, [14]],
    [10, [4, 4, 4, 4]],
    [200, [40, 50, 45, 47, 44]],
  ])(
    'has the same flow and the same doubt at the stream and at an outlet: %s litres in %j seconds',
    (litres, seconds) => {
      const stream = caughtInStream({ litres, seconds })
      const outlet = caughtAtOutlet({ containerLitres: litres, seconds })
      expect(stream.flowM3PerH.likely).toBeCloseTo(outlet.flowM3PerH, 9)
      expect(stream.doubt).toBeCloseTo(outlet.errorFraction, 9)
    },
  )
})
