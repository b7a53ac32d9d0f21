import { useState } from "react";
import { useApp } from "../app-context.ts";
import { wordFor } from "../i18n/speech.ts";
import { Button } from "../parts/Button.tsx";
import { ChoiceField, NumberField, SelectField, TextField } from "../parts/Fields.tsx";
import type { Quantity } from "../units.ts";
import { blankOf, type JsonSchema, resolve, shapeOf } from "./json-schema.ts";
import { quantityFor, summaryOf, titleOf, useHint, useLabel } from "./labels.ts";

type Group = Readonly<Record<string, unknown>>;

interface SchemaFormProps {
  readonly schema: JsonSchema;
  readonly value: unknown;
  readonly onChange: (value: unknown) => void;
  /** Fields that are not shown, by name. */
  readonly hide?: readonly string[];
}

/** A form generated from the same schema that the files are parsed with. */
export function SchemaForm({ schema, value, onChange, hide }: SchemaFormProps) {
  return (
    <div className="form schema-form">
      <GroupFields
        schema={schema}
        root={schema}
        value={(value ?? {}) as Group}
        onChange={onChange}
        hide={hide}
        quantityHint={null}
      />
    </div>
  );
}

interface NodeProps {
  readonly name: string;
  /** What an entry of a list calls itself; else the name decides. */
  readonly title?: string;
  readonly schema: JsonSchema;
  readonly root: JsonSchema;
  readonly value: unknown;
  readonly onChange: (value: unknown) => void;
  readonly required: boolean;
  /** Unit of plain numbers, where the surrounding group decides it (kind of check). */
  readonly quantityHint: Quantity | null;
}

const degreeKinds = new Set(["yaw", "pitch", "roll", "bearing", "parallel", "floor slope"]);

function GroupFields(props: {
  readonly schema: JsonSchema;
  readonly root: JsonSchema;
  readonly value: Group;
  readonly onChange: (value: unknown) => void;
  readonly hide?: readonly string[];
  readonly quantityHint: Quantity | null;
}) {
  const { schema, root, value, onChange, hide = [] } = props;
  const isCheck = schema.properties !== undefined && "lowerDeviation" in schema.properties;
  const hint: Quantity | null = isCheck
    ? degreeKinds.has(String(value.kind ?? "pitch"))
      ? "angle"
      : "length"
    : props.quantityHint;
  return (
    <>
      {Object.entries(schema.properties ?? {})
        .filter(([name]) => !hide.includes(name))
        .map(([name, part]) => (
          <Node
            key={name}
            name={name}
            schema={resolve(part, root)}
            root={root}
            value={value[name]}
            required={schema.required?.includes(name) ?? false}
            quantityHint={hint}
            onChange={(next) => {
              const { [name]: _old, ...rest } = value;
              onChange(next === undefined ? rest : { ...value, [name]: next });
            }}
          />
        ))}
    </>
  );
}

function Node(props: NodeProps) {
  const { name, schema, root, value, onChange, required, quantityHint } = props;
  const { t } = useApp();
  const ownLabel = useLabel(name);
  const label = props.title ?? ownLabel;
  const shape = shapeOf(schema, root);
  const hint = useHint(schema);
  switch (shape.kind) {
    case "fixed":
    case "unknown":
      return null;
    case "text":
      return (
        <TextField
          label={label}
          hint={hint}
          value={typeof value === "string" ? value : ""}
          onChange={(next) => onChange(next === "" && !required ? undefined : next)}
        />
      );
    case "number":
      return (
        <NumberField
          label={label}
          hint={hint}
          quantity={quantityFor(name, quantityHint)}
          value={typeof value === "number" ? value : ((schema.default as number) ?? null)}
          onChange={(next) => onChange(next ?? (shape.optional ? null : undefined))}
        />
      );
    case "yesno":
      return (
        <ChoiceField
          label={label}
          hint={hint}
          value={value === true ? "yes" : "no"}
          choices={[
            { value: "yes", label: t("form.yes") },
            { value: "no", label: t("form.no") },
          ]}
          onChange={(next) => onChange(next === "yes")}
        />
      );
    case "choice":
      return (
        <SelectField
          label={label}
          hint={hint}
          value={String(value ?? schema.default ?? "")}
          choices={[
            ...(required ? [] : [{ value: "", label: t("form.notStated") }]),
            ...shape.values.map((item) => ({ value: item, label: wordFor(item, t) })),
          ]}
          onChange={(next) => onChange(next === "" ? undefined : next)}
        />
      );
    case "tuple":
      return <TupleNode {...props} items={shape.items} label={label} />;
    case "list":
      return <ListNode {...props} item={resolve(shape.item, root)} label={label} />;
    case "group":
      return (
        <Fold label={label} summary={summaryOf(value)}>
          <GroupFields
            schema={schema}
            root={root}
            value={(value ?? {}) as Group}
            onChange={onChange}
            quantityHint={quantityHint}
          />
        </Fold>
      );
    case "variants":
      return <VariantsNode {...props} variants={shape.variants} tag={shape.tag} label={label} />;
  }
}

function TupleNode(props: NodeProps & { items: readonly JsonSchema[]; label: string }) {
  const { items, value, onChange, name, label, root, quantityHint } = props;
  const present = Array.isArray(value) ? value : items.map(() => undefined);
  const axes = ["x", "y", "z"];
  return (
    <fieldset className="tuple">
      <legend>{label}</legend>
      {items.map((item, index) => {
        const schema = resolve(item, root);
        const change = (next: unknown) =>
          onChange(present.map((old, at) => (at === index ? next : old)));
        return shapeOf(schema, root).kind === "number" ? (
          <NumberField
            key={axes[index]}
            label={axes[index]}
            quantity={quantityFor(name, quantityHint)}
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

function ListNode(props: NodeProps & { item: JsonSchema; label: string }) {
  const { item, value, onChange, root, label, quantityHint } = props;
  const { t } = useApp();
  const list = Array.isArray(value) ? (value as unknown[]) : [];
  const change = (index: number, next: unknown) =>
    onChange(list.map((old, at) => (at === index ? next : old)));
  const plainText = item.type === "string";
  return (
    <fieldset className="list-node">
      <legend>{label}</legend>
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
              title={titleOf(entry) ?? `${index + 1}`}
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
            aria-label={`${t("form.remove")}: ${titleOf(entry) ?? index + 1}`}
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

function VariantsNode(
  props: NodeProps & { variants: readonly JsonSchema[]; tag: string; label: string },
) {
  const { variants, tag, value, onChange, root, label, quantityHint, required } = props;
  const { t } = useApp();
  const present = (value ?? null) as Group | null;
  const kinds = variants.map((variant) => String(variant.properties?.[tag]?.const));
  const chosen = variants[kinds.indexOf(String(present?.[tag] ?? ""))];
  const choose = (kind: string) => {
    const variant = variants[kinds.indexOf(kind)];
    if (!variant) {
      onChange(undefined);
      return;
    }
    const fresh = blankOf(variant, root) as Record<string, unknown>;
    const kept = Object.fromEntries(
      Object.entries(present ?? {}).filter(
        ([name]) => name !== tag && variant.properties?.[name] !== undefined,
      ),
    );
    onChange({ ...fresh, ...kept, [tag]: kind });
  };
  return (
    <Fold label={label} summary={summaryOf(present)} open={present === null && required}>
      <SelectField
        label={t("field.kind")}
        value={String(present?.[tag] ?? "")}
        choices={[
          ...(required && present ? [] : [{ value: "", label: t("form.notStated") }]),
          ...kinds.map((kind) => ({ value: kind, label: wordFor(kind, t) })),
        ]}
        onChange={choose}
      />
      {chosen && present ? (
        <GroupFields
          schema={chosen}
          root={root}
          value={present}
          hide={[tag]}
          quantityHint={quantityHint}
          onChange={onChange}
        />
      ) : null}
    </Fold>
  );
}

function Fold(props: {
  readonly label: string;
  readonly summary: string;
  readonly open?: boolean;
  readonly children: React.ReactNode;
}) {
  const [open, setOpen] = useState(props.open ?? false);
  return (
    <details className="fold" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span>{props.label}</span>
        <span className="quiet small">{props.summary}</span>
      </summary>
      {open ? <div className="fold-body form">{props.children}</div> : null}
    </details>
  );
}
