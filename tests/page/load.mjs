// The page's scripts without a page, for tests in Node.

import { createRequire } from "node:module";
import { join } from "node:path";
import { SOURCES } from "./assemble.mjs";

const require = createRequire(import.meta.url);
const script = (name) => require(join(SOURCES, name));

export const Session = script("session.js");
export const Marking = script("marking.js");
export const Store = script("store.js");
export const Pack = script("pack.js");
export const Words = script("words.js");
