// The page of a work order in a real browser: it loads without a network and without an error, boxes tick and are remembered,
// nothing is wider than a telephone, it prints in pages, and the checkers of accessibility and of HTML find nothing.
//
// node page.mjs PAGE.html …

import { execFileSync } from "node:child_process";
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import assert from "node:assert/strict";
import { chromium } from "playwright-core";

const require = createRequire(import.meta.url);
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const pages = process.argv.slice(2);
assert.ok(pages.length > 0, "name the pages to look at");

for (const file of pages) {
  const said = execFileSync("java", ["-jar", require("vnu-jar"), "--format", "json", "--exit-zero-always", file], {
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe"],
  });
  assert.equal(said.trim(), "", said);
}

const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update"],
});
for (const file of pages) {
  const context = await browser.newContext({ offline: true, bypassCSP: false });
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (message) => message.type() === "error" && wrong.push(message.text()));
  page.on("pageerror", (error) => wrong.push(String(error)));
  page.on("request", (request) => request.url().startsWith("file:") || wrong.push(`asks for ${request.url()}`));
  await page.goto(pathToFileURL(file).href);

  const boxes = page.locator("input[type=checkbox]");
  const count = await boxes.count();
  assert.ok(count > 10, `${file}: ${count} boxes`);
  await boxes.nth(3).check();
  await page.reload();
  assert.ok(await boxes.nth(3).isChecked(), `${file}: a tick is forgotten`);
  assert.ok(!(await boxes.nth(4).isChecked()));

  assert.ok((await page.locator("figure svg").count()) > 3, `${file}: no drawings`);
  for (const colorScheme of ["light", "dark"]) {
    for (const width of [360, 800, 1400]) {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize({ width, height: 900 });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      assert.ok(over <= 0, `${file}: ${over} px too wide at ${width}`);
    }
    await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run());
    const told = found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 160)).join("\n  ")}`);
    assert.equal(told.join("\n"), "", `${file} (${colorScheme})`);
  }

  // Links lead somewhere: from a finding to what it speaks of, from its flag there back, from the hole sheet to the hole.
  const lost = await page.evaluate(() =>
    [...document.querySelectorAll("a[href^='#']")].map((one) => one.getAttribute("href").slice(1)).filter((to) => !document.getElementById(to)),
  );
  assert.deepEqual(lost, [], `${file}: links that lead nowhere`);
  await page.setViewportSize({ width: 360, height: 800 });
  // A box at the end of a line is at hand without moving the table sideways.
  const away = await page.evaluate(() =>
    [...document.querySelectorAll("td:last-child > input")].map((one) => one.getBoundingClientRect()).filter((box) => box.left < 0 || box.right > innerWidth).length,
  );
  assert.equal(away, 0, `${file}: ${away} boxes are off the screen of a telephone`);
  for (const link of ["a.flag", "g[data-flag]", "th a[href^='#hole-']"]) {
    const first = page.locator(link).first();
    if ((await first.count()) === 0) continue;
    await first.click();
    const seen = await page.evaluate(() => {
      const box = document.querySelector(":target").getBoundingClientRect();
      return box.top < innerHeight && box.bottom > 0 && box.left < innerWidth && box.right > 0;
    });
    assert.ok(seen, `${file}: ${link} leads to what is not on the screen`);
  }

  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, preferCSSPageSize: false });
    const sheets = pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? [];
    assert.ok(sheets.length > 3, `${file}: ${sheets.length} sheets of ${format}`);
  }
  // What is not to be cut is no higher than a printed page.
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 700, height: 1000 });
  const high = await page.evaluate(() => Math.max(...[...document.querySelectorAll("figure")].map((one) => one.offsetHeight)));
  assert.ok(high < 1000, `${file}: a picture of ${high} px is cut when it is printed`);
  assert.deepEqual(wrong, [], file);
  await context.close();
  console.log(`${file}: ${count} boxes, fine`);
}
await browser.close();
