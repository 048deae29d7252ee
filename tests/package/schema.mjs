// node tests/package/schema.mjs: makes the report's JSON schema (pkg-template/report.schema.json) from the declarations. A test holds
// that the file is what this gives.
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createGenerator } from 'ts-json-schema-generator';
import { inProject } from './harness.mjs';

const TOLD = 'The report of `analyze`, made from the declarations (index.d.ts, type Report) by ts-json-schema-generator; a test holds it.';

const sorted = (tree) =>
  tree?.constructor === Object
    ? Object.fromEntries(
        Object.keys(tree)
          .sort()
          .map((key) => [key, sorted(tree[key])]),
      )
    : tree;

/** The schema of what `analyze` gives, as the file's text. */
export function schemaText() {
  const { $ref, $schema, definitions } = createGenerator({ path: inProject('pkg-template/index.d.ts'), type: 'Report', skipTypeCheck: true }).createSchema(
    'Report',
  );
  return `${JSON.stringify({ $ref, $schema, $comment: TOLD, definitions: sorted(definitions) }, null, 2)}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(inProject('pkg-template/report.schema.json'), schemaText());
