import { useApp } from "../context/app-context.ts";
import { wordFor } from "../i18n/speech.ts";
import type { Quantity } from "../i18n/units.ts";
import { ChoiceField, SelectField, TextField } from "../parts/fields/Fields.tsx";
import { NumberField } from "../parts/fields/NumberField.tsx";
import { type JsonSchema, resolve, shapeOf } from "./json-schema.ts";
import { ListNode, TupleNode } from "./ListNode.tsx";
import {
  degreeKinds,
  mayBeNegative,
  quantityFor,
  useHint,
  useLabel,
  useSummary,
} from "./labels.ts";
import type { Group, GroupProps, NodeProps } from "./node-props.ts";
import { Fold, VariantsNode } from "./VariantsNode.tsx";

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

function GroupFields(props: GroupProps) {
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
  const summary = useSummary();
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
          signed={mayBeNegative(name)}
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
      return <TupleNode {...props} items={shape.items} label={label} Node={Node} />;
    case "list":
      return <ListNode {...props} item={resolve(shape.item, root)} label={label} Node={Node} />;
    case "group":
      return (
        <Fold label={label} summary={summary(value)}>
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
      return (
        <VariantsNode
          {...props}
          variants={shape.variants}
          tag={shape.tag}
          label={label}
          Fields={GroupFields}
        />
      );
  }
}
