/** FNV-1a over a value's JSON: a key for "same as before", nothing secret. */
export function digest(value: unknown): string {
  const text = JSON.stringify(value);
  let sum = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    sum = Math.imul(sum ^ text.charCodeAt(i), 0x01000193);
  }
  return `${text.length}-${(sum >>> 0).toString(16)}`;
}
