/**
 * Groups of nodes that reach each other: the strongly connected components with more than one node
 * (Tarjan 1972). A graph without any can be drawn with all its arrows pointing one way.
 */
export const cyclesIn = (graph: ReadonlyMap<string, ReadonlySet<string>>): string[][] => {
  const found: string[][] = [];
  const index = new Map<string, number>();
  const lowest = new Map<string, number>();
  const stack: string[] = [];
  const visit = (node: string): void => {
    index.set(node, index.size);
    lowest.set(node, index.get(node)!);
    stack.push(node);
    for (const next of graph.get(node) ?? []) {
      if (!graph.has(next)) continue;
      if (!index.has(next)) visit(next);
      if (stack.includes(next))
        lowest.set(node, Math.min(lowest.get(node)!, lowest.get(next)!, index.get(next)!));
    }
    if (lowest.get(node) !== index.get(node)) return;
    const group = stack.splice(stack.indexOf(node));
    if (group.length > 1) found.push(group.sort());
  };
  for (const node of graph.keys()) if (!index.has(node)) visit(node);
  return found;
};
