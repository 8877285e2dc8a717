// The browser that the reports are read in, by the driver among the npm packages of the tests.
import { createRequire } from "node:module";
import { resolve } from "node:path";

export const packagesIn = (folder) => createRequire(resolve(folder, "here"));

export const browserOf = (folder) => packagesIn(folder)("playwright-core").chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
  ],
});
