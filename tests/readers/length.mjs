// How long an HTML report is. Use: node length.mjs NPM-FOLDER REPORT.html PAPER.pdf.
// Prints the screens of a phone (390 by 844 CSS pixels) that it fills, and writes it as it is printed on A4.
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [packages, report, paper] = process.argv.slice(2);
const { chromium } = createRequire(resolve(packages, "here"))("playwright-core");
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
  ],
});
const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
await page.goto(pathToFileURL(resolve(report)).href);
console.log((await page.evaluate(() => document.documentElement.scrollHeight)) / 844);
await page.pdf({ path: paper, format: "A4" });
await browser.close();
