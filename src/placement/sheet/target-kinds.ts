/** What a target can be, in the words of the trade. */
export const targetKinds = [
  "board",
  "radar reflector plate",
  "corner reflector",
  "floor mat",
  "crossbar",
] as const;
