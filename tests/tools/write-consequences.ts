/** `npm run docs:consequences`: writes the table of consequences for people. */
import { writeFileSync } from "node:fs";
import { consequencesTable } from "../../src/job/result/consequences.ts";

const head = `# What a remark does to the verdict

Written from \`consequences.ts\` by \`npm run docs:consequences\`; a test compares the two. An outcome is
made in \`outcome.ts\` only: the checks decide by their numbers, and any remark that holds back keeps
"all meet" from being said in the result document, the exit status, the screens, the list of jobs and
the printed record.
`;

writeFileSync("src/job/result/consequences.md", `${head}\n${consequencesTable()}\n`);
