import { Component, type ReactNode } from "react";
import { reportFailure } from "../state/failures.ts";

interface ContainedProps {
  readonly children: ReactNode;
  /** Shown instead of a part that cannot be drawn. */
  readonly instead: ReactNode;
}

/**
 * Keeps a fault in one part of a screen from taking the others with it: entries that no screen
 * expected (a file of another program, a damaged store) must not end in an empty page.
 */
export class Contained extends Component<ContainedProps, { readonly failed: boolean }> {
  override state = { failed: false };

  static getDerivedStateFromError(): { failed: boolean } {
    return { failed: true };
  }

  override componentDidCatch(error: unknown): void {
    reportFailure(error);
  }

  override render(): ReactNode {
    return this.state.failed ? this.props.instead : this.props.children;
  }
}
