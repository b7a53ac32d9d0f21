import type { ComponentType } from "react";
import { useApp } from "../context/app-context.ts";
import { wordFor } from "../i18n/speech.ts";
import { Button } from "../parts/Button.tsx";
import { TextField } from "../parts/fields/Fields.tsx";
import { NumberField } from "../parts/fields/NumberField.tsx";
import { Words } from "../parts/Words.tsx";
import { blankOf, type JsonSchema, resolve, shapeOf } from "./json-schema.ts";
import { quantityFor, titleOf } from "./labels.ts";
import type { NodeProps } from "./node-props.ts";

interface ListProps extends NodeProps {
  readonly label: string;
  /** Draws one entry; handed in, since an entry may hold lists again. */
  readonly Node: ComponentType<NodeProps>;
}

/** A fixed row of values: coordinates, or the two ends of a diagonal. */
export function TupleNode(props: ListProps & { readonly items: readonly JsonSchema[] }) {
  const { items, value, onChange, name, label, root, quantityHint, Node } = props;
  const present = Array.isArray(value) ? value : items.map(() => undefined);
  const axes = ["x", "y", "z"];
  return (
    <fieldset className="tuple">
      <legend>
        <Words text={label} />
      </legend>
      {items.map((item, index) => {
        const schema = resolve(item, root);
        const change = (next: unknown) =>
          onChange(present.map((old, at) => (at === index ? next : old)));
        return shapeOf(schema, root).kind === "number" ? (
          <NumberField
            key={axes[index]}
            label={axes[index]}
            quantity={quantityFor(name, quantityHint)}
            signed
            value={typeof present[index] === "number" ? present[index] : null}
            onChange={(next) => change(next ?? 0)}
          />
        ) : (
          <Node
            key={axes[index]}
            name={index === 0 ? "from" : "to"}
            schema={schema}
            root={root}
            value={present[index]}
            required
            quantityHint={quantityHint}
            onChange={change}
          />
        );
      })}
    </fieldset>
  );
}

/** A list that grows and shrinks. */
export function ListNode(props: ListProps & { readonly item: JsonSchema }) {
  const { item, value, onChange, root, label, quantityHint, Node } = props;
  const { t } = useApp();
  const title = (entry: unknown) => {
    const found = titleOf(entry);
    return found === null ? null : wordFor(found, t);
  };
  const list = Array.isArray(value) ? (value as unknown[]) : [];
  const change = (index: number, next: unknown) =>
    onChange(list.map((old, at) => (at === index ? next : old)));
  const plainText = item.type === "string";
  return (
    <fieldset className="list-node">
      <legend>
        <Words text={label} />
      </legend>
      {list.map((entry, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: entries are edited in place by position
        <div className="list-entry" key={index}>
          {plainText ? (
            <TextField
              label={`${label} ${index + 1}`}
              value={String(entry ?? "")}
              onChange={(next) => change(index, next)}
            />
          ) : (
            <Node
              name="entry"
              title={title(entry) ?? `${index + 1}`}
              schema={item}
              root={root}
              value={entry}
              required
              quantityHint={quantityHint}
              onChange={(next) => change(index, next)}
            />
          )}
          <Button
            kind="bare"
            icon="bin"
            aria-label={`${t("form.remove")}: ${title(entry) ?? index + 1}`}
            onClick={() => onChange(list.filter((_, at) => at !== index))}
          />
        </div>
      ))}
      <Button icon="plus" onClick={() => onChange([...list, blankOf(item, root)])}>
        {t("form.add")}
      </Button>
    </fieldset>
  );
}
