/** Finds a Chromium-like browser for the tests of the built page; installs one where that is the custom. */
import { spawnSync } from 'node:child_process'
import { accessSync, constants, existsSync } from 'node:fs'
import { delimiter, join } from 'node:path'

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'microsoft-edge']
const PLACES = [
  '/opt/google/chrome/chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
]

function isProgram(path) {
  try {
    accessSync(path, constants.X_OK)
    return true
  } catch {
    return false
  }
}

/** Path of a browser: RIMTIDE_BROWSER, else the first one found in the usual places, else undefined. */
export function findBrowser() {
  const wish = process.env.RIMTIDE_BROWSER
  if (wish) return isProgram(wish) ? wish : undefined
  const folders = (process.env.PATH ?? '').split(delimiter).filter(Boolean)
  const paths = NAMES.flatMap((name) => folders.map((folder) => join(folder, name)))
  return [...paths, ...PLACES].find(isProgram)
}

const apt = (...args) => spawnSync('apt-get', args, { stdio: ['ignore', 2, 2] }).status === 0

/** On Debian and its kin, as root: installs Chromium. True if that worked. */
function installOnDebian() {
  if (!existsSync('/etc/debian_version') || process.getuid?.() !== 0) return false
  process.stderr.write('Installing chromium with apt-get, once …\n')
  return apt('update') && apt('install', '-y', '--no-install-recommends', 'chromium')
}

/** { path } of a browser or { message } that tells what to install or set. */
export function ensureBrowser() {
  const path = findBrowser()
  if (path) return { path }
  const wish = process.env.RIMTIDE_BROWSER
  if (wish) return { message: `RIMTIDE_BROWSER is ${wish}; there is no program of that name.` }
  const installed = installOnDebian() ? findBrowser() : undefined
  if (installed) return { path: installed }
  const message =
    'No browser for the page tests. Install Chromium or Chrome, or set RIMTIDE_BROWSER to its path.'
  return { message }
}
