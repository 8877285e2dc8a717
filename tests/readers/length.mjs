// How long an HTML report is. Use: node length.mjs NPM-FOLDER REPORT.html PAPER.pdf.
// Prints the screens of a phone (390 by 844 CSS pixels) that it fills, and writes it as it is printed on A4.
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { browserOf } from "./browser.mjs";

const [packages, report, paper] = process.argv.slice(2);
const browser = await browserOf(packages);
const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
await page.goto(pathToFileURL(resolve(report)).href);
console.log((await page.evaluate(() => document.documentElement.scrollHeight)) / 844);
await page.pdf({ path: paper, format: "A4" });
await browser.close();
