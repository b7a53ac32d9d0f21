import { useRef } from "react";
import { inBackground } from "../state/failures.ts";
import { Button } from "./Button.tsx";

interface OpenFileProps {
  readonly accept: string;
  readonly label: string;
  readonly onFile: (file: File) => Promise<void>;
  readonly testId?: string;
}

/** A button that opens one file; the same file can be opened again afterwards. */
export function OpenFile({ accept, label, onFile, testId }: OpenFileProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <input
        ref={input}
        type="file"
        accept={accept}
        hidden
        data-testid={testId}
        onChange={(event) => {
          const field = event.currentTarget;
          const file = field.files?.[0];
          if (file) {
            const opening = onFile(file).finally(() => {
              field.value = "";
            });
            inBackground(opening);
          }
        }}
      />
      <Button icon="open" onClick={() => input.current?.click()}>
        {label}
      </Button>
    </>
  );
}

export const jsonFiles = "application/json,.json";
