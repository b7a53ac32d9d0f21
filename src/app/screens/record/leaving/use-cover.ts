import { useEffect, useState } from "react";
import { inBackground } from "../../../state/failures.ts";
import { type Cover, loadCovers, onCoversSaved } from "../../../store/records/covers.ts";

/** What is covered in a photo; null where nobody has looked at it. */
export function useCover(photoId: string): Cover | null {
  const [cover, setCover] = useState<Cover | null>(null);
  useEffect(() => {
    let left = false;
    const read = () =>
      inBackground(
        loadCovers([photoId]).then((covers) => left || setCover(covers.get(photoId) ?? null)),
      );
    read();
    const stop = onCoversSaved(read);
    return () => {
      left = true;
      stop();
    };
  }, [photoId]);
  return cover;
}
