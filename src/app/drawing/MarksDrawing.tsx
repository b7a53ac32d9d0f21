import type { Drawing, LineStyle, Mark } from "../../boards/building/marks.ts";

const classOf: Readonly<Record<LineStyle, string>> = {
  visible: "mark-visible",
  thin: "mark-thin",
  centre: "mark-centre",
  phantom: "mark-phantom",
  asked: "mark-asked",
};

/** A drawing of the pages on building, the same as in their PDF. */
export function MarksDrawing({
  drawing,
  name,
}: {
  readonly drawing: Drawing;
  readonly name: string;
}) {
  return (
    <svg
      className="marks-drawing"
      viewBox={`0 0 ${drawing.widthMm} ${drawing.heightMm}`}
      role="img"
      aria-label={name}
    >
      {drawing.marks.map((mark, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a drawing never changes
        <One key={index} mark={mark} />
      ))}
    </svg>
  );
}

const anchors = { left: "start", centre: "middle", right: "end" } as const;

function One({ mark }: { readonly mark: Mark }) {
  switch (mark.kind) {
    case "text":
      return (
        <text
          x={mark.x}
          y={mark.y}
          textAnchor={anchors[mark.align]}
          className={mark.bold ? "mark-text mark-bold" : "mark-text"}
        >
          {mark.words}
        </text>
      );
    case "circle":
      return <circle className={classOf[mark.style]} cx={mark.x} cy={mark.y} r={mark.radius} />;
    case "line":
      return <polyline className={classOf[mark.style]} points={mark.points.join(" ")} />;
  }
}
