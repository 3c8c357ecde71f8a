import type { House } from '../reading/house.ts'
import type { Finding } from './finding.ts'

const TEMPLATE_LINES = 80
const LINE_CHARACTERS = 160

export function longTemplates(house: House): Finding[] {
  return house.templates
    .filter(({ lines }) => lines.length > TEMPLATE_LINES)
    .map(({ file, lines }) => ({ file, says: `${lines.length} lines` }))
}

export function longTemplateLines(house: House): Finding[] {
  return linesThat(
    house,
    (line) => line.length > LINE_CHARACTERS,
    (line) => `${line.length} characters`,
  )
}

/** Views show and do not reckon. */
export function reckoningTemplates(house: House): Finding[] {
  return linesThat(
    house,
    (line) => /\.(reduce|filter|sort|toSorted|find)\(/.test(line),
    (line) => /\.(?:reduce|filter|sort|toSorted|find)\(.{0,40}/.exec(line)![0],
  )
}

/** The token and the form's own key are written by one part. */
export function hiddenFieldsByHand(house: House): Finding[] {
  return linesThat(
    { ...house, templates: house.templates.filter(({ file }) => !/^views\/(parts|layout)\//.test(file)) },
    (line) => /name="_form"/.test(line),
    () => 'a hidden form key',
  )
}

function linesThat(house: House, wrong: (line: string) => boolean, says: (line: string) => string): Finding[] {
  return house.templates.flatMap(({ file, lines }) =>
    lines.flatMap((line, at) => (wrong(line) ? [{ file, line: at + 1, says: says(line) }] : [])),
  )
}
