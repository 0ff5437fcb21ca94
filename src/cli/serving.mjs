/** Serves the built page on this machine: for `npm start` and for the checks in a browser. Writes no file. */
import { join } from 'node:path'
import { preview } from 'vite'
import { ROOT } from './install.mjs'

/**
 * The rest of the page's policy stands in its head: as a header it would reach the workers too, and stop ndarray there.
 * frame-ancestors counts in a header only.
 */
const HEADERS = {
  'Content-Security-Policy': "frame-ancestors 'none'",
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
}

function notFound(_request, response) {
  response.writeHead(404, { 'Content-Type': 'text/plain; charset=utf-8' })
  response.end('404: there is nothing at this address. Rimtide is at /\n')
}

/** The page at / and /index.html, its files, and 404 for all else. */
const door = {
  name: 'door',
  configurePreviewServer({ middlewares }) {
    middlewares.use((request, response, next) => {
      for (const [name, value] of Object.entries(HEADERS)) response.setHeader(name, value)
      request.url = request.url.replace(/^\/(?=$|\?)/, '/index.html')
      // With a slash behind its name the page would be found, but not what it loads.
      if (/\/(\?|$)/.test(request.url)) notFound(request, response)
      else next()
    })
    return () => middlewares.use(notFound)
  },
}

/** Starts serving the folder `outDir`; without `strictPort` the next free port is taken. @throws if none can be had */
export async function servePage({ outDir, port, strictPort }) {
  const server = await preview({
    root: join(ROOT, 'src', 'page'),
    configFile: false,
    appType: 'custom',
    logLevel: 'silent',
    plugins: [door],
    build: { outDir },
    preview: { host: '127.0.0.1', port, strictPort },
  })
  const taken = server.httpServer.address().port
  return { address: `http://127.0.0.1:${taken}/`, close: () => server.close() }
}
