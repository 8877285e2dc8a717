// Reads an HTML report in headless Chromium at two widths, in the dark and on paper, with axe-core on each.
// Use: node page.mjs NPM-FOLDER REPORT.html PICTURES-DIR. Prints one line for each problem and exits 1 if there is any.
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { browserOf, packagesIn } from "./browser.mjs";

const [packages, report, pictures] = process.argv.slice(2);
const axe = readFileSync(packagesIn(packages).resolve("axe-core/axe.min.js"), "utf8");
const address = pathToFileURL(resolve(report)).href;
const problems = [];

const browser = await browserOf(packages);
for (const [name, width, media, colorScheme] of [
  ["narrow", 320, "screen", "light"], ["wide", 1280, "screen", "light"], ["dark", 390, "screen", "dark"],
  ["paper", 794, "print", "light"],
]) {
  const problem = (text) => problems.push(`${name}: ${text}`);
  const page = await browser.newPage({ viewport: { width, height: 900 } });
  page.on("console", (message) => problem(`console: ${message.text()}`));
  page.on("pageerror", (error) => problem(`error: ${error.message}`));
  page.on("request", (request) => request.url() === address || problem(`asks for ${request.url()}`));
  await page.emulateMedia({ media, colorScheme });
  await page.goto(address);
  await page.screenshot({ path: `${pictures}/${name}.png`, fullPage: true });

  const seen = await page.evaluate(() => ({
    styled: getComputedStyle(document.querySelector("h2")).borderTopWidth,
    scripts: document.querySelectorAll("script, link, iframe, img, object, embed, form, [onload], [onclick], [style]").length,
    overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    overset: [...document.querySelectorAll("tbody th, td, p, li, dd, dt, h1, h2, h3")]
      .filter((cell) => cell.scrollWidth > cell.clientWidth + 1)
      .map((cell) => cell.textContent.trim().slice(0, 40)),
    h1: document.querySelectorAll("h1").length,
    ground: getComputedStyle(document.body).backgroundColor.match(/\d+/g).every((part) => part < 64) ? "dark" : "bright",
    heads: [...document.querySelectorAll("th")].filter((cell) => !cell.scope).length,
  }));
  if (seen.styled !== "3px") problem(`its style sheet is refused or missing (${seen.styled})`);
  if (seen.scripts) problem(`${seen.scripts} elements that a page of text has no use for`);
  if (seen.overflow > 0) problem(`scrolls sideways by ${seen.overflow} px`);
  for (const text of seen.overset) problem(`text runs out of its box: ${text}`);
  if (seen.h1 !== 1) problem(`${seen.h1} main headings`);
  if (seen.heads) problem(`${seen.heads} table headings without a scope`);

  if (colorScheme === "dark" && seen.ground !== "dark") problem("stays bright in the dark");

  // The evaluation runs beside the page's content security policy, which stays in force for the page.
  await page.evaluate(axe);
  const result = await page.evaluate(() => axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "wcag2aaa", "best-practice"],
  }));
  for (const { id, nodes } of result.violations) {
    for (const node of nodes) problem(`axe ${id}: ${node.html.slice(0, 160)} ${node.failureSummary.replaceAll("\n", " ")}`);
  }
  if (result.passes.length < 12) problem(`axe ran only ${result.passes.length} rules that apply`);
  if (media === "print") {
    const pdf = await page.pdf({ path: `${pictures}/${name}.pdf`, format: "A4" });
    if (pdf.length < 5000) problem("prints as an empty file");
  }
  await page.close();
}
await browser.close();
for (const text of problems) console.log(text);
process.exitCode = problems.length ? 1 : 0;
