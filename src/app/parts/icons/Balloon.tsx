import { Icon } from "./Icon.tsx";

/** The numbered circle that names a part on a drawing; here a stage of the job. */
export function Balloon(props: {
  readonly number: number;
  readonly state: "done" | "next" | "open";
}) {
  const { number, state } = props;
  return (
    <span className={`balloon balloon-${state}`} aria-hidden="true">
      {state === "done" ? <Icon name="check" /> : number}
    </span>
  );
}
