/** Reads the events of a calendar file by RFC 5545 alone: unfold, split, unescape. Instants come as ISO text. */
export function readCalendar(text: string): Record<string, string>[] {
  const lines = text
    .replaceAll(/\r\n[ \t]/g, '')
    .split('\r\n')
    .filter(Boolean)
  if (lines[0] !== 'BEGIN:VCALENDAR' || lines.at(-1) !== 'END:VCALENDAR') throw new Error('not a calendar')
  const events: Record<string, string>[] = []
  for (const line of lines) {
    const [name, value] = [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1)]
    if (line === 'BEGIN:VEVENT') events.push({})
    else if (events.length > 0) events.at(-1)![name] = isoOf(unescaped(value))
  }
  return events
}

function unescaped(value: string): string {
  return value.replaceAll(/\\([\\;,nN])/g, (_, sign: string) => (/[nN]/.test(sign) ? '\n' : sign))
}

function isoOf(value: string): string {
  const parts = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z$/.exec(value)
  return parts ? `${parts[1]}-${parts[2]}-${parts[3]}T${parts[4]}:${parts[5]}:${parts[6]}Z` : value
}
