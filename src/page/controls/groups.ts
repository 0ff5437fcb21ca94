/** The groups in which inputs stand wherever all of them can be chosen. */
export const groups: readonly { name: string; title: string; open: boolean }[] = [
  { name: 'drop', title: 'Drop', open: true },
  { name: 'bath', title: 'Bath', open: true },
  { name: 'air', title: 'Air', open: true },
  { name: 'ring', title: 'Rim', open: true },
  { name: 'interface', title: 'Drop/oil tension', open: false },
  { name: 'model', title: 'Accuracy and model', open: false },
  { name: 'mechanisms', title: 'Mechanisms', open: false },
]
