import type { Term } from "./glossary.ts";

/** What a term means, as a small picture on a 120 x 64 grid: the car's front to the right. */
interface Picture {
  readonly phantom?: string;
  readonly visible?: string;
  readonly centre?: string;
  readonly asked: string;
}

const car = "M8 20h42q10 0 12 12q-2 12-12 12H8z";
const wheels = "M12 17h10v5H12zM12 42h10v5H12zM42 17h10v5H42zM42 42h10v5H42z";
const band = "M24 22h72v20H24zM30 42l12-20M46 42l12-20M62 42l12-20M78 42l12-20";
const scale = "M4 32h112";

const pictures: Readonly<Record<Term, Picture>> = {
  thrustLine: { phantom: car, visible: wheels, centre: "M2 32h116", asked: "M17 32 114 24" },
  thrustAngle: {
    phantom: car,
    visible: wheels,
    centre: "M2 32h116M17 32 114 18",
    asked: "M92 32a75 75 0 0 0-1-11",
  },
  centreline: { phantom: car, visible: wheels, asked: "M2 32h116" },
  axleLine: { phantom: car, visible: wheels, centre: "M2 32h116", asked: "M47 6v52M17 6v52" },
  sure: { visible: scale, asked: "M40 32h40M40 26v12M80 26v12M58 30h4v4h-4z" },
  notProven: { visible: `${scale}${band}`, asked: "M80 32h32M80 26v12M112 26v12" },
  tolerance: { visible: scale, asked: band },
  offset: {
    phantom: "M20 4h18v10H20zM20 50h18v10H20zM20 14h18l-8 10v16l8 10H20",
    visible: "M72 14h3v36h-3z",
    asked: "M38 58h37M38 54v8M75 54v8",
  },
  printCheck: {
    phantom: "M34 2h52v60H34z",
    visible: "M46 16h28v28H46z",
    asked: "M40 54h40M40 51v6M80 51v6",
  },
  lengthBar: {
    visible: "M6 30h108v4H6zM14 22h20v20H14zM86 22h20v20H86z",
    asked: "M24 52h72M24 48v8M96 48v8",
  },
  floorPoint: {
    phantom: "M2 56 40 18h76L80 56z",
    visible: "M50 42h18l8-10H58z",
    asked: "M63 37V14M58 20l5-6 5 6",
  },
  pointer: { phantom: "M30 6h60v40H30z", visible: "M50 36h22v22H50z", asked: "M61 26l-6 9h12z" },
  residual: {
    phantom: "M40 12h40v40H40z",
    visible: "M52 22h20v20H52z",
    asked: "M72 22 84 12M80 12h4v4",
  },
  varianceFactor: {
    visible: scale,
    asked: "M30 28v8M44 26v12M54 22v20M60 20v24M66 22v20M76 26v12M90 28v8",
  },
  redundancy: {
    visible: "M56 40h8v8h-8z",
    asked: "M60 40 20 10M60 40 48 6M60 40 76 6M60 40 104 12",
  },
  probability: { visible: `${scale}${band}`, asked: "M30 32q15 0 24-16t12 0t24 16" },
  toe: {
    phantom: car,
    visible: "M42 14l10 3v5l-10-3zM42 50l10-3v-5l-10 3z",
    asked: "M47 18 110 30M47 46 110 34",
  },
  camber: {
    visible: "M2 56h116M36 54l-6-40h12l6 40zM78 54l6-40h12l-6 40z",
    asked: "M42 54V10M84 54V10",
  },
  setBack: {
    phantom: car,
    visible: "M42 17h10v5H42zM34 42h10v5H34z",
    asked: "M47 10v44M39 10v44M39 8h8",
  },
  wheelbase: { phantom: car, visible: wheels, asked: "M17 56h30M17 52v8M47 52v8" },
  sideways: {
    phantom: car,
    visible: "M94 12v20",
    centre: "M2 44h116",
    asked: "M106 22v22M102 22h8M102 44h8",
  },
  wheelPlate: {
    phantom: "M60 4a28 28 0 1 0 .1 0z",
    visible: "M48 20h24v24H48z",
    asked: "M60 26v12M54 32h12",
  },
  standBoard: {
    phantom: "M38 6h44v30H38zM60 36v20M44 60l16-8 16 8",
    visible: "M14 14h16v16H14zM90 14h16v16H90z",
    asked: "M30 22h8M82 22h8",
  },
  cameraSheet: {
    phantom: "M38 2h44v60H38z",
    visible: "M44 8h10v10H44zM64 8h10v10H64zM54 18h10v10H54zM44 28h10v10H44zM64 28h10v10H64z",
    asked: "M8 56 36 44M112 56 84 44",
  },
  referencePoint: {
    phantom: "M30 6h60v50H30z",
    asked: "M60 23v16M52 31h16M60 27a4 4 0 1 0 .1 0z",
  },
  plumbPoint: {
    phantom: "M4 22h70l14 12H4z",
    visible: "M2 58h116",
    centre: "M60 34v12",
    asked: "M60 46l-5 4 5 7 5-7z",
  },
  bearing: { phantom: car, centre: "M62 32h52", asked: "M62 32 108 8M96 32a40 40 0 0 0-4-16" },
  diagonal: { phantom: car, visible: "M108 8v48", asked: "M47 18 108 56M47 46 108 8" },
  guardBand: {
    visible: `${scale}${band}`,
    asked: "M24 20v24M34 20v24M86 20v24M96 20v24M24 44h10M86 44h10",
  },
  standardDeviation: {
    visible: scale,
    centre: "M60 8v36",
    asked: "M24 32q18 0 26-14t20 0t26 14M48 40h24M48 37v6M72 37v6",
  },
  profile: {
    phantom: "M14 6h30v52H14z",
    visible: "M29 12a8 8 0 1 0 .1 0z",
    asked: "M62 14q20-6 46 0q6 18 0 36q-26 6-46 0q-6-18 0-36",
  },
  revision: {
    phantom: "M44 4h40v50H44z",
    visible: "M34 10h40v50H34zM42 22h24M42 30h24M42 38h16",
    asked: "M56 46h12v8H56zM58 46v-4h8v4",
  },
};

export function TermPicture({ term }: { readonly term: Term }) {
  const { phantom, visible, centre, asked } = pictures[term];
  return (
    <svg className="term-picture" viewBox="0 0 120 64" aria-hidden="true" focusable="false">
      {phantom ? <path className="phantom" d={phantom} /> : null}
      {centre ? <path className="centre" d={centre} /> : null}
      {visible ? <path className="fine-strong" d={visible} /> : null}
      <path className="asked" d={asked} />
    </svg>
  );
}
