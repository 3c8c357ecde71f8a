/** A rule that a timetable breaks, with the values that a page needs to say where. */
export interface TimetableProblem {
  code: string
  values: Record<string, string | number>
}
