import { type ComponentType, useState } from "react";
import { useApp } from "../context/app-context.ts";
import { wordFor } from "../i18n/speech.ts";
import { SelectField } from "../parts/fields/Fields.tsx";
import { blankOf, type JsonSchema } from "./json-schema.ts";
import { useSummary } from "./labels.ts";
import type { Group, GroupProps, NodeProps } from "./node-props.ts";

interface VariantsProps extends NodeProps {
  readonly variants: readonly JsonSchema[];
  readonly tag: string;
  readonly label: string;
  /** Draws the fields of the chosen kind; handed in, since these may hold kinds again. */
  readonly Fields: ComponentType<GroupProps>;
}

/** A group of one of several kinds. */
export function VariantsNode(props: VariantsProps) {
  const { variants, tag, value, onChange, root, label, quantityHint, required, Fields } = props;
  const { t } = useApp();
  const summary = useSummary();
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
    <Fold label={label} summary={summary(present)} open={present === null && required}>
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
        <Fields
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

/** A part of the form that opens on demand, with what it says in short. */
export function Fold(props: {
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
