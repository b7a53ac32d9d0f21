import { type ReactNode, useId } from "react";
import { Words } from "./Words.tsx";

interface PanelProps {
  readonly title: string;
  readonly aside?: ReactNode;
  readonly children: ReactNode;
  readonly testId?: string;
}

/** One framed part of a page, like a view on a drawing. */
export function Panel({ title, aside, children, testId }: PanelProps) {
  const id = useId();
  return (
    <section className="panel" aria-labelledby={id} data-testid={testId}>
      <header className="panel-head">
        <h2 id={id}>
          <Words text={title} />
        </h2>
        {aside}
      </header>
      <div className="panel-body">{children}</div>
    </section>
  );
}
