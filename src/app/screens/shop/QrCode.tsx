import { useEffect, useState } from "react";

/** A QR code (ISO/IEC 18004) as a drawing: dark on white in every theme, with its quiet zone. */
export function QrCode({ text, label }: { readonly text: string; readonly label: string }) {
  const [drawn, setDrawn] = useState<{ readonly path: string; readonly size: number } | null>(null);
  useEffect(() => {
    let left = false;
    void import("qrcode").then(({ create }) => {
      const { modules } = create(text, { errorCorrectionLevel: "L" });
      const { size, data } = modules;
      const path = Array.from(data, (dark, i) =>
        dark ? `M${i % size} ${Math.floor(i / size)}h1v1h-1z` : "",
      ).join("");
      if (!left) setDrawn({ path, size });
    });
    return () => {
      left = true;
    };
  }, [text]);
  if (!drawn) return null;
  const quiet = 4;
  const side = drawn.size + 2 * quiet;
  return (
    <svg className="qr-code" viewBox={`${-quiet} ${-quiet} ${side} ${side}`} role="img">
      <title>{label}</title>
      <rect x={-quiet} y={-quiet} width={side} height={side} fill="#fff" />
      <path d={drawn.path} fill="#000" shapeRendering="crispEdges" />
    </svg>
  );
}
