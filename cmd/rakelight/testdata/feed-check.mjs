// Validates a feed by a schema with xmllint: node feed-check.mjs MODULE SCHEMA FEED
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const [, , module, schema, feed] = process.argv;
const { validateXML } = createRequire(import.meta.url)(module);
const text = name => readFileSync(name, "utf8");
const told = await validateXML({
  xml: [{ fileName: "feed.xml", contents: text(feed) }],
  schema: [{ fileName: "atom.rng", contents: text(schema) }],
  extension: "relaxng",
  maxMemoryPages: 8192,
});
for (const e of told.errors) { console.log(e.rawMessage); }
process.exit(told.valid ? 0 : 1);
