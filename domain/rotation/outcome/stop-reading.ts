import type { M3 } from '../../units.ts'

interface Beginning {
  /** What the meter showed when the turn began, m3. */
  startM3: M3
  /** What the turn is to bring, m3. */
  volumeM3: M3
  /** Wheels for whole m3; a meter that has shown its last figure goes on at nought. */
  meterDigits: number
}

/**
 * The reading at which a turn has had its water, m3, to the litre. Common practice, no source: start and volume added, over
 * the last figure of the meter as its wheels turn.
 */
export function stopReadingM3({ startM3, volumeM3, meterDigits }: Beginning): M3 {
  const litres = Math.round((startM3 + volumeM3) * 1000)
  return (litres % (10 ** meterDigits * 1000)) / 1000
}
