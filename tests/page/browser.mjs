// A real browser with the page in it: Debian's Chromium, a fixed day, no network.

import assert from "node:assert/strict";
import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { assemble } from "./assemble.mjs";

export const OUT = join(dirname(fileURLToPath(import.meta.url)), "../../target/page");
export const PHONE = { width: 360, height: 740 };
export const DESK = { width: 1280, height: 800 };

const FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];

let browser;

export async function launch() {
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: FLAGS });
}

export const quit = () => browser.close();

/** A device of its own: storage, size, colours. */
export function device({ size = PHONE, scheme = "light", ...more } = {}) {
  return browser.newContext({ viewport: size, colorScheme: scheme, locale: "en-GB", timezoneId: "Europe/London", ...more });
}

/** A test that runs `steps` on a device of its own; its pages must have no error. */
export function on(options, steps) {
  return async () => {
    const mine = await device(options);
    try {
      await steps(mine);
      for (const page of mine.pages()) assert.deepEqual(page.faults, []);
    } finally {
      await mine.close();
    }
  };
}

/** Writes the pack's page under `name` and gives its address. */
export function put(pack, name) {
  mkdirSync(OUT, { recursive: true });
  const path = join(OUT, `${name}.html`);
  writeFileSync(path, assemble(pack));
  return pathToFileURL(path).href;
}

/** Opens a page on the device at four o'clock of `day`; errors of the page fail the test. */
export async function open(on, address, { day = "2026-11-25", before } = {}) {
  const page = await on.newPage();
  page.faults = [];
  page.on("pageerror", (error) => page.faults.push(error.message));
  page.on("console", (message) => { if (message.type() === "error") page.faults.push(message.text()); });
  await page.clock.install({ time: new Date(`${day}T16:00:00Z`) });
  if (before) await page.addInitScript(before);
  await page.goto(address);
  return page;
}

export const press = (page, name) => page.getByRole("button", { name, exact: true }).click();
export const pile = (page, name) => page.locator(`.pile:has(strong:text-is("${name}"))`).click();
export const text = (page, where) => page.locator(where).innerText();
export const focused = (page) => page.evaluate(() => document.activeElement.id || document.activeElement.textContent.trim() || document.activeElement.tagName);

/** Goes on by Tab until what has this name or text has the focus. */
export async function tabTo(page, name) {
  for (let at = 0; at < 60; at += 1) {
    if (await focused(page) === name) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`${name} was not reached by Tab`);
}

/** How many cards lie on each pile. */
export const heaps = (page) => page.locator(".heaps b").allInnerTexts().then((all) => all.map(Number));

/** Answers the card in the hand. */
export async function answer(page, known) {
  await page.bringToFront();
  await press(page, "Look");
  await pile(page, known ? "Known" : "Not yet");
}

/** Answers cards until the session is over. */
export async function workOff(page, knows = () => true) {
  let asked = 0;
  while (await page.locator("#asked").count()) {
    await answer(page, knows(await text(page, "#asked-text"), asked));
    asked += 1;
    if (asked > 200) throw new Error("the session never ends");
  }
  return asked;
}

/** What the device holds for the pack. */
export const stored = (page, pack) => page.evaluate((place) => JSON.parse(localStorage.getItem(place)), `deckle/${pack.pack}`);
