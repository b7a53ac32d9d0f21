/** Our mark: a plumb bob hanging over the crossing of two lines. */
export function Mark() {
  return (
    <svg className="mark" viewBox="0 0 32 32" aria-hidden="true" focusable="false">
      <path className="mark-line" d="M16 1v12M3 26h26M16 24v7" />
      <path className="mark-bob" d="M11.5 12h9l-1 6L16 25l-3.500-7z" />
    </svg>
  );
}
