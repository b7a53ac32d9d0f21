import { Words } from "./Words.tsx";

/** Names with their values, one pair a line. */
export function Facts({ rows }: { readonly rows: readonly (readonly [string, string])[] }) {
  return (
    <dl className="facts">
      {rows.map(([name, value]) => (
        <div key={name}>
          <dt>
            <Words text={name} />
          </dt>
          <dd className="number">{value}</dd>
        </div>
      ))}
    </dl>
  );
}
