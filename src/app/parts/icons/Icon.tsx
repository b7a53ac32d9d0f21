/** Own line drawings, one weight, drawn on a 24 x 24 grid. */
const paths = {
  back: "M14 5 7 12l7 7",
  next: "m10 5 7 7-7 7",
  plus: "M12 4v16M4 12h16",
  minus: "M4 12h16",
  check: "m4 13 5 5L20 6",
  cross: "M5 5l14 14M19 5 5 19",
  camera: "M3 8h4l2-3h6l2 3h4v11H3zM12 17a4 4 0 1 0 0-8 4 4 0 0 0 0 8z",
  file: "M6 3h8l4 4v14H6zM14 3v4h4",
  gear: "M12 15.5a3.5 3.5 0 1 0 0-7 3.5 3.5 0 0 0 0 7zM12 2v4M12 18v4M2 12h4M18 12h4M5 5l2.8 2.8M16.2 16.2 19 19M19 5l-2.8 2.8M7.8 16.2 5 19",
  save: "M12 3v11M7 10l5 5 5-5M4 20h16",
  open: "M12 15V4M7 8l5-5 5 5M4 20h16",
  print: "M7 8V3h10v5M5 8h14v8h-3v5H8v-5H5z",
  bin: "M4 6h16M9 6V3h6v3M6 6l1 15h10l1-15M10 10v7M14 10v7",
  warn: "M12 3 2 20h20zM12 9v5M12 16.5v1",
  info: "M12 21a9 9 0 1 0 0-18 9 9 0 0 0 0 18zM12 11v6M12 7v1",
  zoom: "M10 17a7 7 0 1 0 0-14 7 7 0 0 0 0 14zM15 15l6 6",
  target: "M4 4h16v16H4zM12 1v22M1 12h22",
  sound: "M3 9h4l6-5v16l-6-5H3zM17 8a6 6 0 0 1 0 8M20 5a10 10 0 0 1 0 14",
  share: "M12 15V3M7 7l5-5 5 5M5 11v10h14V11",
  full: "M4 9V4h5M20 9V4h-5M4 15v5h5M20 15v5h-5",
  dash: "M4 12h16",
} as const;

export type IconName = keyof typeof paths;

export function Icon({ name }: { readonly name: IconName }) {
  return (
    <svg className="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={paths[name]} />
    </svg>
  );
}
