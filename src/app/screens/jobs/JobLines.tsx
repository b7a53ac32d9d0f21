import { useWindowVirtualizer } from "@tanstack/react-virtual";
import { useLayoutEffect, useRef, useState } from "react";
import type { ListedJob } from "../../store/listings.ts";
import { JobLine } from "./JobLine.tsx";

interface JobLinesProps {
  readonly jobs: readonly ListedJob[];
  readonly onChange: () => void;
}

/** Up to here all lines are drawn: find-in-page and print see them. */
const mostDrawnWhole = 60;
/** First guess of a line's height, px; each line is measured when it is drawn. */
const lineHeight = 84;
/** Space between two lines, px. */
const gap = 8;
/** Lines drawn above and below the screen, for a quick thumb and for the Tab key. */
const overscan = 8;

/** The list of jobs; of a long one only what is in sight, and a little around it, is drawn. */
export function JobLines({ jobs, onChange }: JobLinesProps) {
  return jobs.length > mostDrawnWhole ? (
    <LongList jobs={jobs} onChange={onChange} />
  ) : (
    <ul className="job-list">
      {jobs.map((job, at) => (
        <JobLine
          key={job.id}
          job={job}
          place={{ number: at + 1, of: jobs.length }}
          onChange={onChange}
        />
      ))}
    </ul>
  );
}

function LongList({ jobs, onChange }: JobLinesProps) {
  const list = useRef<HTMLUListElement>(null);
  const [top, setTop] = useState(0);
  useLayoutEffect(() => {
    setTop((list.current?.getBoundingClientRect().top ?? 0) + window.scrollY);
  }, []);
  const lines = useWindowVirtualizer({
    count: jobs.length,
    estimateSize: () => lineHeight,
    overscan,
    gap,
    scrollMargin: top,
    getItemKey: (at) => jobs[at].id,
  });
  return (
    <ul className="job-list job-list-long" ref={list} style={{ height: lines.getTotalSize() }}>
      {lines.getVirtualItems().map(({ index, key, start }) => (
        <JobLine
          key={key}
          job={jobs[index]}
          place={{ number: index + 1, of: jobs.length }}
          style={{ transform: `translateY(${start - top}px)` }}
          lineRef={lines.measureElement}
          onChange={onChange}
        />
      ))}
    </ul>
  );
}
