import type { ButtonHTMLAttributes, ReactNode } from "react";
import { Icon, type IconName } from "./icons/Icon.tsx";

interface ButtonProps extends ButtonHTMLAttributes<HTMLButtonElement> {
  /** `now` is the one thing to do next on a screen; `plain` everything else. */
  readonly kind?: "now" | "plain" | "bare";
  readonly icon?: IconName;
  readonly children?: ReactNode;
}

/**
 * A button that cannot be used now says so but keeps the focus: a `disabled` button would lose it
 * under the finger of somebody who works by keyboard.
 */
export function Button(props: ButtonProps) {
  const { kind = "plain", icon, children, className, disabled, onClick, ...rest } = props;
  return (
    <button
      type="button"
      className={`button button-${kind} ${className ?? ""}`}
      aria-disabled={disabled || undefined}
      onClick={disabled ? undefined : onClick}
      {...rest}
    >
      <Content icon={icon}>{children}</Content>
    </button>
  );
}

interface ButtonLinkProps {
  readonly href: string;
  readonly kind?: "now" | "plain" | "bare";
  readonly icon?: IconName;
  readonly children?: ReactNode;
  readonly label?: string;
  readonly newTab?: boolean;
  readonly testId?: string;
}

export function ButtonLink(props: ButtonLinkProps) {
  const { href, kind = "plain", icon, children, label, newTab, testId } = props;
  return (
    <a
      className={`button button-${kind}`}
      href={href}
      aria-label={label}
      data-testid={testId}
      {...(newTab ? { target: "_blank", rel: "noopener" } : {})}
    >
      <Content icon={icon}>{children}</Content>
    </a>
  );
}

/** An arrow onwards stands after its word, every other icon before it. */
function Content({ icon, children }: Pick<ButtonProps, "icon" | "children">) {
  const words = children ? <span>{children}</span> : null;
  const drawn = icon ? <Icon name={icon} /> : null;
  return icon === "next" ? (
    <>
      {words}
      {drawn}
    </>
  ) : (
    <>
      {drawn}
      {words}
    </>
  );
}
