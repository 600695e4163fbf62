// Realistic packs for the tests: those of the demonstration department, as the program made them.

import { Pack } from "./load.mjs";
import { OTHERS, dataOf, pageOf } from "./released.mjs";

const read = (name) => Pack.read(dataOf(pageOf(name)));

/** The pack of a year and term, as the page gets it. */
export const samplePack = (year, term, edition = 1) => ({ ...read(`year-${year}-${term}`), edition });

/** All nine decks in one pack, without pictures. */
export const largePack = () => ({ ...read(OTHERS.allYear), edition: 1 });
