// Started before anything can read TypeScript: `node server/run.js main`, or another entry by its name.
import { existsSync } from 'node:fs'
import * as modules from 'node:module'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

const [LEAST_MAJOR, LEAST_MINOR] = [22, 12]
const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
if (major < LEAST_MAJOR || (major === LEAST_MAJOR && minor < LEAST_MINOR)) {
  // Nothing native is loaded before this has been said.
  console.error(
    `This needs Node ${LEAST_MAJOR}.${LEAST_MINOR} or newer, and was started with ${process.versions.node}. Start it by npm (npm start, npm run verify ...): the project brings its own Node.`,
  )
  process.exit(1)
}

const project = join(import.meta.dirname, '..')
// What was made of the program is kept beside the modules, so that the next start takes half the work, threads and processes
// that it starts too; where nothing can be written, each start makes it anew.
process.env.NODE_COMPILE_CACHE ??= join(project, 'node_modules', '.compiled')
modules.enableCompileCache(process.env.NODE_COMPILE_CACHE)

// A folder that was made to be carried holds the program put together, and no sources.
const hasSources = existsSync(join(project, 'server', 'main.ts'))
const folder = hasSources ? await putTogether() : join(project, 'dist')
const [entry] = process.argv.splice(2, 1)
if (entry !== undefined) await import(pathToFileURL(join(folder, `${entry}.js`)).href)

async function putTogether() {
  try {
    return (await import('./together.js')).putTogether(project)
  } catch (error) {
    console.error(`The program could not be put together: ${/** @type {Error} */ (error).message}
Run npm ci once, as whoever owns this folder.`)
    process.exit(1)
  }
}
