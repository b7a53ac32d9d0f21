interface ProgressProps {
  readonly label: string;
  /** 0 to 1, or null where the end is not known. */
  readonly share: number | null;
  readonly testId?: string;
}

/** A scale that fills up, with its text above. */
export function Progress({ label, share, testId }: ProgressProps) {
  return (
    <div className="progress" data-testid={testId}>
      <p className="progress-label" aria-live="polite">
        {label}
      </p>
      <progress max={1} aria-label={label} {...(share === null ? {} : { value: share })} />
    </div>
  );
}
