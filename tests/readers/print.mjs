// Prints an HTML report with more and more room left above it, so that its parts fall on the ends of pages in turn.
// Use: node print.mjs NPM-FOLDER REPORT.html FOLDER TIMES. Writes FOLDER/0.pdf, FOLDER/1.pdf and so on.
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { browserOf } from "./browser.mjs";

const [packages, report, folder, times] = process.argv.slice(2);
const browser = await browserOf(packages);
const page = await browser.newPage();
await page.goto(pathToFileURL(resolve(report)).href);
for (let time = 0; time < Number(times); time += 1) {
  await page.evaluate((height) => { document.body.style.paddingTop = `${height}px`; }, time * 45);
  await page.pdf({ path: `${folder}/${time}.pdf`, format: "A4" });
}
await browser.close();
