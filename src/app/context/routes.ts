import { useSyncExternalStore } from "react";

export const stages = [
  "car",
  "sheet",
  "bay",
  "boards",
  "camera",
  "photos",
  "placement",
  "record",
] as const;
export type Stage = (typeof stages)[number];

export interface StageProps {
  /** What follows the stage in the address, for instance a photo id. */
  readonly detail: string;
}

export type Route =
  | { readonly page: "jobs" }
  | { readonly page: "settings" }
  | { readonly page: "sheet on screen" }
  | { readonly page: "building" }
  | { readonly page: "glossary" }
  | { readonly page: "guide" }
  | { readonly page: "records" }
  | { readonly page: "acceptance" }
  | { readonly page: "shop" }
  | { readonly page: "job"; readonly id: string }
  | { readonly page: "stage"; readonly id: string; readonly stage: Stage; readonly detail: string };

/** Reads a location hash such as `#/job/ab12/photos/cd34`; what is unknown leads to the jobs. */
export function parseRoute(hash: string): Route {
  const [first, id, stage, detail] = hash.replace(/^#\/?/, "").split("/");
  if (first === "settings") {
    return { page: "settings" };
  }
  if (
    first === "building" ||
    first === "glossary" ||
    first === "guide" ||
    first === "records" ||
    first === "acceptance" ||
    first === "shop"
  ) {
    return { page: first };
  }
  if (first === "sheet") {
    return { page: "sheet on screen" };
  }
  if (first !== "job" || !id) {
    return { page: "jobs" };
  }
  const known = stages.find((item) => item === stage);
  return known ? { page: "stage", id, stage: known, detail: detail ?? "" } : { page: "job", id };
}

export const jobHref = (id: string): string => `#/job/${id}`;
export const stageHref = (id: string, stage: Stage, detail = ""): string =>
  `#/job/${id}/${stage}${detail ? `/${detail}` : ""}`;

export function go(href: string): void {
  window.location.hash = href;
}

const subscribe = (listener: () => void): (() => void) => {
  window.addEventListener("hashchange", listener);
  return () => window.removeEventListener("hashchange", listener);
};

/** The present route; screens follow the address bar, so back and reload work. */
export function useRoute(): Route {
  const hash = useSyncExternalStore(subscribe, () => window.location.hash);
  return parseRoute(hash);
}
