/** The words of the explanation, one or two plain sentences each. An entry uses only words that stand before it: no circles. */
export interface Entry {
  id: string
  term: string
  /** The word forms by which it is found in a text; the longest is taken. */
  forms: readonly string[]
  text: string
  /** So common that it is not marked in the texts. */
  common?: true
}

export const GLOSSARY: readonly Entry[] = [
  {
    id: 'drop',
    term: 'Drop',
    forms: ['drop', 'drops'],
    text: 'What is set down: a little water with alcohol in it.',
    common: true,
  },
  {
    id: 'bath',
    term: 'Oil, bath',
    forms: ['bath', 'oil bath'],
    text: 'The liquid in the dish, on which the drop floats.',
  },
  {
    id: 'touch-down',
    term: 'Touch-down',
    forms: ['touch-down'],
    text: 'The moment when the drop is set down. All times are counted from it.',
  },
  {
    id: 'life',
    term: 'Life',
    forms: ['life'],
    text: 'All that happens to a drop, from touch-down to its end.',
  },
  { id: 'edge', term: 'Edge', forms: ['edge'], text: 'The line where the drop ends.' },
  {
    id: 'largest-radius',
    term: 'Largest radius',
    forms: ['largest radius'],
    text: 'How far from the middle the edge comes before it turns back.',
  },
  {
    id: 'film',
    term: 'Film',
    forms: ['film', 'outer film', 'thin film'],
    text: 'The wide, flat part of the drop, a few micrometres thick or less.',
  },
  { id: 'rim', term: 'Rim', forms: ['rim'], text: 'The ridge of liquid just inside the edge.' },
  {
    id: 'thin-spot',
    term: 'Thin spot, thinnest place',
    forms: ['thin spot', 'thin place', 'thinnest place'],
    text: 'The place just inside the rim where the film is thinnest.',
  },
  { id: 'bead', term: 'Bead', forms: ['bead', 'beads'], text: 'A bulge of the rim while it breaks.' },
  {
    id: 'child-drop',
    term: 'Child drop',
    forms: ['child drop', 'child drops'],
    text: 'A small drop that has left the rim: what becomes of a bead.',
  },
  {
    id: 'lens',
    term: 'Lens',
    forms: ['lens'],
    text: 'A drop that does not spread. It floats as a small, thick cap.',
  },
  {
    id: 'tension',
    term: 'Tension',
    forms: ['tension', 'tensions'],
    text: 'Every surface of a liquid draws itself together, like a taut skin. Tension is that force per length.',
  },
  {
    id: 'pull',
    term: 'Pull',
    forms: ['pull', 'pulls'],
    text: 'A force that moves the drop: per length where it acts on the edge, per area where it acts on the film.',
  },
  {
    id: 'faces',
    term: 'Upper and lower face',
    forms: ['upper and lower face', 'upper face', 'lower face', 'two faces', 'both faces'],
    text: 'The upper face is where the drop meets air, the lower face where it meets oil. Each has a tension of its own.',
  },
  {
    id: 'spreading-coefficient',
    term: 'Spreading coefficient',
    forms: ['spreading coefficient'],
    text: 'The tension of the bare oil less the tensions of both faces. Above zero the drop spreads, below it stays a lens.',
  },
  {
    id: 'threshold',
    term: 'Threshold',
    forms: ['threshold'],
    text: 'The strength at which the spreading coefficient is zero. Weaker mixtures stay a lens.',
  },
  {
    id: 'marangoni',
    term: 'Marangoni effect',
    forms: ['Marangoni effect', 'Marangoni'],
    text: 'Where the tension differs from place to place, liquid is drawn to where it is higher.',
  },
  {
    id: 'evaporation',
    term: 'Evaporation, vapour',
    forms: ['evaporation', 'evaporates', 'vapour'],
    text: 'Alcohol and water leave into the air. Alcohol is the quicker.',
  },
  {
    id: 'uptake',
    term: 'Uptake',
    forms: ['uptake', 'takes it up', 'takes up', 'uptake by the oil'],
    text: 'Alcohol passes from the drop into the oil under it.',
  },
  {
    id: 'drag',
    term: 'Drag of the oil',
    forms: ['drag of the oil', 'drag'],
    text: 'Oil is sticky and resists being taken along. So it slows the film that rides on it.',
  },
  {
    id: 'levelling',
    term: 'Levelling',
    forms: ['levelling', 'levels'],
    text: 'Tension makes a pressure under a curved surface, which evens out bumps and hollows.',
  },
  {
    id: 'stretching',
    term: 'Stretching',
    forms: ['stretching', 'stretched', 'stretches'],
    text: 'Liquid that is drawn apart becomes thinner, though none of it is lost, like dough under a rolling pin.',
  },
  {
    id: 'budget',
    term: 'Budget',
    forms: ['budget'],
    text: 'What flows into a place, what flows out, and what it loses to air and oil. The difference changes its thickness.',
  },
  {
    id: 'plateau-rayleigh',
    term: 'Plateau–Rayleigh instability',
    forms: ['Plateau–Rayleigh instability'],
    text: 'A long strip of liquid is never quite even. Tension squeezes its narrow places narrower, until a row of beads is left.',
  },
  {
    id: 'collapse',
    term: 'Collapse',
    forms: ['collapse'],
    text: 'The moment when the edge, on its way back, has drawn the drop together again.',
  },
]

export interface Piece {
  text: string
  /** The entry that it names. */
  entry?: Entry
}

const isWord = (character: string | undefined): boolean =>
  character !== undefined && /[\p{L}\p{N}-]/u.test(character)

interface Hit {
  at: number
  form: string
  entry: Entry
}

/** First place of a form as a whole word, −1 if there is none. */
function wordAt(text: string, form: string, from: number): number {
  for (let at = text.indexOf(form, from); at >= 0; at = text.indexOf(form, at + 1))
    if (!isWord(text[at - 1]) && !isWord(text[at + form.length])) return at
  return -1
}

function nextHit(text: string, from: number, entries: readonly Entry[]): Hit | null {
  let best: Hit | null = null
  for (const entry of entries) {
    for (const form of entry.forms) {
      const at = wordAt(text, form, from)
      if (at < 0) continue
      if (!best || at < best.at || (at === best.at && form.length > best.form.length))
        best = { at, form, entry }
    }
  }
  return best
}

/** A text in pieces, each word of the glossary marked once; `seen` are ids that have been marked already and takes the new ones. */
export function piecesOf(text: string, seen: Set<string>): Piece[] {
  const pieces: Piece[] = []
  let from = 0
  for (let hit = nextHit(text, 0, GLOSSARY); hit; hit = nextHit(text, from, GLOSSARY)) {
    const { at, form, entry } = hit
    const end = at + form.length
    const marked = !entry.common && !seen.has(entry.id)
    if (marked) {
      if (at > from) pieces.push({ text: text.slice(from, at) })
      pieces.push({ text: form, entry })
      seen.add(entry.id)
    } else pieces.push({ text: text.slice(from, end) })
    from = end
  }
  if (from < text.length) pieces.push({ text: text.slice(from) })
  return pieces
}
