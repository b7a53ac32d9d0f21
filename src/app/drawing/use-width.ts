import { useLayoutEffect, useRef, useState } from "react";

/** The width of an element in CSS px, so that drawings keep their type size at any width. */
export function useWidth<E extends HTMLElement>(first = 340) {
  const ref = useRef<E>(null);
  const [width, setWidth] = useState(first);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) {
      return;
    }
    const measure = () => setWidth(Math.max(200, Math.round(element.clientWidth)));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return { ref, width };
}
