import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { join } from 'node:path'
import compress from '@fastify/compress'
import cookie from '@fastify/cookie'
import csrf from '@fastify/csrf-protection'
import formbody from '@fastify/formbody'
import helmet from '@fastify/helmet'
import multipart from '@fastify/multipart'
import rateLimit from '@fastify/rate-limit'
import files from '@fastify/static'
import view from '@fastify/view'
import { Eta } from 'eta'
import Fastify, { type FastifyInstance } from 'fastify'
import { projectFolder } from './project-folder.ts'
import { cookiePath, secretCookie } from './web/pages/cookies.ts'
import { LONGEST_NAME, MOST_FIELDS } from './web/pages/field-limit.ts'
import { addPrefix } from './web/prefix.ts'

/** A whole book over a weak hotspot comes in five minutes; a connection that only trickles is ended. Own choice, no source. */
const WHOLE_REQUEST_MS = 300_000
const HEADERS_MS = 20_000
const LOOK_EVERY_MS = 10_000
/** A village with two phones a household, each with a handful of connections. Own choice, no source. */
const MOST_CONNECTIONS = 500
const HSTS_SECONDS = 31_536_000

export const BODY_LIMIT_BYTES = 2_000_000
/** The file of a whole book, which only the form that joins books takes. */
export const BOOK_LIMIT_BYTES = 64_000_000

interface Standing {
  log?: boolean
  trustedProxy?: string
  isBehindTls?: boolean
  /** What stands before all addresses, such as `/kijito`; nothing where the book is alone. */
  prefix?: string
  /** Hands requests on to other apps before this one; what it does not hand on it gives to `own`. */
  handOn?: HandOn
}

export type Handler = (request: IncomingMessage, response: ServerResponse) => void
export type HandOn = (request: IncomingMessage, response: ServerResponse, own: Handler) => void

/** An app without pages: how it listens, and what is the same for every page that it may get. */
export async function plumbedApp({
  log,
  trustedProxy,
  isBehindTls = false,
  prefix = '',
  handOn,
}: Standing): Promise<FastifyInstance> {
  const app = Fastify({
    logger: log ? { level: 'error' } : false,
    bodyLimit: BODY_LIMIT_BYTES,
    requestTimeout: WHOLE_REQUEST_MS,
    trustProxy: trustedProxy ?? false,
    exposeHeadRoutes: false,
    rewriteUrl: asGet,
    routerOptions: { ignoreTrailingSlash: true },
    schemaController: { compilersFactory: WITHOUT_SCHEMAS },
    http: { headersTimeout: HEADERS_MS, connectionsCheckingInterval: LOOK_EVERY_MS },
    ...(handOn && {
      serverFactory: (own: Handler, { http }: { http?: object }) =>
        createServer({ ...http, requestTimeout: WHOLE_REQUEST_MS }, (request, response) =>
          handOn(request, response, own),
        ),
    }),
  })
  app.decorate('isBehindTls', isBehindTls)
  app.decorate('prefixOfBook', prefix)
  app.server.maxConnections = MOST_CONNECTIONS
  addPrefix(app, prefix)
  await addPlugins(app)
  return app
}

/** What is sent is read by forms of our own: the compilers of schemas, a tenth of the start, are never loaded. */
const WITHOUT_SCHEMAS = { buildValidator: noCompiler, buildSerializer: noCompiler }

function noCompiler(): never {
  throw new Error('no route has a schema: a form reads what is sent')
}

/**
 * HEAD goes the way of GET: Node, which took the method at the door, leaves the body out. Addresses of their own would double the
 * routes of every book.
 */
function asGet(request: { method?: string | undefined; url?: string | undefined }): string {
  if (request.method === 'HEAD') request.method = 'GET'
  return request.url ?? '/'
}

const views = join(projectFolder(), 'views')
/** Compiles each template once for the whole process, whatever the number of books. */
const eta = new Eta({ views, cache: true })

async function addPlugins(app: FastifyInstance): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'"],
        mediaSrc: ["'self'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        baseUri: ["'none'"],
      },
    },
    // The group's own machine speaks plain HTTP on its own network, unless a proxy with TLS stands before it.
    strictTransportSecurity: app.isBehindTls ? { maxAge: HSTS_SECONDS } : false,
  })
  await app.register(compress, { threshold: 1024 })
  await app.register(cookie)
  await app.register(csrf, {
    cookieKey: secretCookie(app),
    cookieOpts: { httpOnly: true, sameSite: 'lax', path: cookiePath(app), secure: app.isBehindTls },
  })
  await app.register(formbody, { bodyLimit: BODY_LIMIT_BYTES })
  await app.register(multipart, {
    attachFieldsToBody: 'keyValues',
    limits: { fileSize: BOOK_LIMIT_BYTES, files: 1, fields: MOST_FIELDS, fieldNameSize: LONGEST_NAME },
  })
  await app.register(rateLimit, { global: false })
  await app.register(files, { root: join(views, 'assets'), prefix: '/assets/', maxAge: '1h' })
  await app.register(view, {
    engine: { eta },
    root: views,
    viewExt: 'eta',
    // Otherwise the plugin asks NODE_ENV, and compiles every template again at every request.
    production: true,
  })
}
