/**
 * A paragraph as lines of at most `width` columns, for text on a terminal. The first line begins
 * with `indent`, the others with `hanging`; a longer word stands alone on its line.
 */
export const wrapText = (text: string, indent = "", hanging = indent, width = 80): string => {
  const lines: string[] = [];
  let line = indent;
  let empty = true;
  for (const word of text.split(/\s+/).filter(Boolean)) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = hanging;
      empty = true;
    }
    line += (empty ? "" : " ") + word;
    empty = false;
  }
  lines.push(line);
  return lines.join("\n");
};
