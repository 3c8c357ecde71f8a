/** Hours that a volume takes at one outlet by its tested flow, m3 an hour, where the pump gives as much. Source: time = volume / flow. */
export function hoursAt({ volumeM3, flowM3PerH }: { volumeM3: number; flowM3PerH: number }): number {
  return volumeM3 / flowM3PerH
}
