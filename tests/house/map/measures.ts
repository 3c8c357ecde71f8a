import { circles, pairs } from './counts/circles.ts'
import { undocumented, withoutSource, withoutUnit } from './counts/docstrings.ts'
import { exportsForTests, scraps, unusedExports } from './counts/exports.ts'
import type { Measure } from './counts/finding.ts'
import { againstTheOrder, hallsKnowRooms, reachesIn } from './counts/rooms.ts'
import { fullFolders, longFiles, longFunctions } from './counts/sizes.ts'
import { hiddenFieldsByHand, longTemplateLines, longTemplates, reckoningTemplates } from './counts/templates.ts'
import { asNever, ownDesk, ownTimeZone, packedObjects, twins } from './counts/writing.ts'

/** What is counted in the house; zero is the wanted count of each. */
export const MEASURES: Measure[] = [
  { name: 'circles', says: 'circles of files, types included', find: circles },
  { name: 'pairs', says: 'pairs of things that import each other', find: pairs },
  { name: 'reaches', says: 'imports into the inside of another room of the server', find: reachesIn },
  { name: 'order', says: 'imports against the reading order of the rooms', find: againstTheOrder },
  { name: 'halls', says: 'imports of a room by web or book', find: hallsKnowRooms },
  { name: 'folders', says: 'folders of more than 14 files', find: fullFolders },
  { name: 'files', says: 'files of more than 250 lines', find: longFiles },
  { name: 'functions', says: 'functions of more than 70 lines', find: longFunctions },
  { name: 'templates', says: 'templates of more than 80 lines', find: longTemplates },
  { name: 'template-lines', says: 'lines of templates over 160 characters', find: longTemplateLines },
  { name: 'reckoning', says: 'reduce, filter, sort or find in a template', find: reckoningTemplates },
  { name: 'hidden-fields', says: 'hidden form keys written by hand', find: hiddenFieldsByHand },
  { name: 'unused', says: 'exports that nobody imports', find: unusedExports },
  { name: 'tests-only', says: 'exports that only tests import', find: exportsForTests },
  { name: 'scraps', says: 'files under 60 lines that only a neighbour calls', find: scraps },
  { name: 'twins', says: 'functions written more than once, word for word', find: twins },
  { name: 'packed', says: 'objects packed as ...{ a, b }', find: packedObjects },
  { name: 'never', says: 'as never', find: asNever },
  { name: 'time-zone', says: "timeZone ?? 'UTC' by hand", find: ownTimeZone },
  { name: 'desk', says: '{ db, request, reply, at } by hand', find: ownDesk },
  { name: 'docstrings', says: 'exported functions of the domain without a docstring', find: undocumented },
  { name: 'units', says: 'exported functions of the domain that give a number and name no unit', find: withoutUnit },
  { name: 'sources', says: 'files of the domain with figures of their own and no source', find: withoutSource },
]
