import { describe, expect, it } from 'vitest'
import { allocate } from '../../../domain/rotation/allocation/allocate.ts'
import type { AllocationInput, Claim } from '../../../domain/rotation/allocation/types.ts'
import { withWhatHolds } from '../../../domain/rotation/allocation/what-holds.ts'

/** One weir, pump, tank and outlet of so many m3 each, and claims of 10 m3 through the outlet. */
function held(
  limits: { weir?: number; pump?: number; tank?: number; outlet?: number },
  claims: Partial<Claim>[] = [{}],
) {
  const { weir = 100, pump = 100, tank, outlet = 100 } = limits
  const input: AllocationInput = {
    weirs: [{ id: 'w', releasableM3: weir }],
    pumps: [{ id: 'p', weirId: 'w', weekM3: pump }],
    ...(tank === undefined ? {} : { tanks: [{ id: 't', pumpId: 'p', weekM3: tank }] }),
    outlets: [{ id: 'o', pumpId: 'p', weekM3: outlet, ...(tank === undefined ? {} : { tankId: 't' }) }],
    claims: claims.map((claim, at) => {
      return { id: `c${at}`, outletIds: ['o'], needM3: 10, entitledM3: 10, receivedM3: 0, tier: 1, ...claim }
    }),
  }
  const { claims: found } = withWhatHolds({ input, allocation: allocate(input) })
  return found.map(({ heldBy, alsoHeldBy }) => [heldBy, ...alsoHeldBy].map((one) => one.kind).join(' and '))
}

describe('what holds a claim', () => {
  it('is the one limit without which it would get more', () => {
    expect(held({ weir: 5 })).toEqual(['weir'])
    expect(held({ pump: 5 })).toEqual(['pump'])
    expect(held({ tank: 5 })).toEqual(['tank'])
    expect(held({ outlet: 5 })).toEqual(['outlet'])
    expect(held({ weir: 5, pump: 6 })).toEqual(['weir'])
    expect(held({ weir: 6, pump: 5 })).toEqual(['pump'])
  })

  it('is its own need or request where it has all of it', () => {
    expect(held({})).toEqual(['need'])
    expect(held({}, [{ requestedM3: 4 }])).toEqual(['request'])
    expect(held({ outlet: 10 })).toEqual(['need'])
  })

  it('is every limit in a row that is as narrow as the others, from the store down', () => {
    expect(held({ weir: 5, pump: 5 })).toEqual(['weir and pump'])
    expect(held({ pump: 5, outlet: 5 })).toEqual(['pump and outlet'])
    expect(held({ weir: 5, pump: 5, tank: 5, outlet: 5 })).toEqual(['weir and pump and tank and outlet'])
    expect(held({ weir: 5, pump: 7, outlet: 5 })).toEqual(['weir and outlet'])
  })

  it('is the others where no limit alone would help it, but their going would', () => {
    // Both limits hold six for two: the first has them by its tier; by itself the second would have six.
    expect(held({ weir: 6, pump: 6 }, [{ tier: 0 }, {}])).toEqual(['weir and pump', 'others'])
  })

  it('is a limit from a litre’s half on', () => {
    expect(held({ outlet: 9.999 })).toEqual(['outlet'])
    expect(held({ outlet: 9.9999 }, [{ needM3: 9.9999 }])).toEqual(['need'])
  })
})
