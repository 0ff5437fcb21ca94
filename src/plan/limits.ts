/** What the model leaves out, in plain words: shown on the page and in every report. */
export const LIMITS: readonly string[] = [
  'The drop is round: no fingers are formed, and the break-up of the ring is an estimate. Its child drops come out equally small on thin and on thick oil, while experiments find smaller ones on thicker oil.',
  'The film is taken as thin and gently sloped. A steep lens, well below the threshold, is only roughly right.',
  'Volumes of alcohol and water are added as they are, although a mixture is up to 4 % smaller.',
  'The drop stays at room temperature: cooling by evaporation is left out (about 1.6 K after 4 s at 0.4 µm/s; the largest radius would move by +0.6 % at 50 % and by −6 % near the threshold).',
  'The bare oil pulls evenly everywhere, and there is no dye in the drop. Dyes gather at surfaces and do matter.',
  'The tension between drop and oil is the least known input. Near the threshold a change of 1 % in it moves the largest radius by about 1.4 %, for strong mixtures by almost nothing.',
  'In the laboratory the largest radius is reported to grow about in a straight line with the alcohol fraction; here it rises steeply just above the threshold and levels off beyond 60 %. The difference is an open question.',
  'Strong mixtures (above about 70 %) draw the outer film out to less than 0.1 µm; there the answer depends on the coverage cut-off.',
]
