/** `npm run docs:consequences`: writes the table of consequences for people. */
import { writeFileSync } from "node:fs";
import { consequencesTable } from "../../src/job/result/consequences.ts";

const head = `# What a remark does to the verdict

Written from \`consequences.ts\` by \`npm run docs:consequences\`; a test compares the two. An outcome is
made in \`outcome.ts\` only: the checks decide by their numbers, and any remark that holds back leaves
every check "not proven", a miss as well as a meeting, since a wrong miss moves a stand that stands
right. What the number alone would say is kept beside it. Result document, exit status, screens, list
of jobs and printed record read this.
`;

writeFileSync("src/job/result/consequences.md", `${head}\n${consequencesTable()}\n`);
