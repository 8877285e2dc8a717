// Drives the page as a household's phone would, and as a page of another origin would.
const assert = require("assert");
const http = require("http");
const fs = require("fs");
const { chromium } = require("playwright-core");
const { PAGE, CODE, JAR, OTHER, HELD, PICTURES } = process.env;

async function axe(page, what) {
  await page.addScriptTag({ content: fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8") }).catch(() => {});
  const found = await page.evaluate(fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8") + ";0")
    .then(() => page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag2aaa", "best-practice"], rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } })));
  const bad = found.violations.map((one) => one.id + ": " + one.nodes.map((node) => node.target + " " + node.failureSummary).join(" | "));
  assert.deepStrictEqual(bad, [], what);
}

(async () => {
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  try {
    const phone = await browser.newContext({ viewport: { width: 360, height: 640 } });
    const page = await phone.newPage();
    await page.goto(PAGE + "/pair?code=" + CODE);
    await page.fill("#name", "hall");
    await page.click("button:text-is('Pair this phone')");
    await page.waitForURL(PAGE + "/");
    for (const scheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme: scheme });
      for (const width of [320, 390, 1280]) {
        await page.setViewportSize({ width, height: 640 });
        for (const path of ["/", "/run", "/find?q=pea", "/walk", "/walk?place=Pantry+low", "/b/26-019", "/j/" + JAR, "/j/" + HELD, "/none"]) {
          await page.goto(PAGE + path);
          await axe(page, path + " at " + width + " " + scheme);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          assert(wide <= 0, path + " is " + wide + " px too wide at " + width);
          if (PICTURES) await page.screenshot({ path: PICTURES + "/" + path.replace(/\W+/g, "_") + width + scheme + ".png" });
        }
      }
    }
    // Acts stand within the first screen.
    await page.setViewportSize({ width: 360, height: 640 });
    await page.goto(PAGE + "/j/" + JAR);
    for (const button of await page.locator(".acts > form button, .acts > details > summary").all()) {
      const box = await button.boundingBox();
      assert(box.y + box.height <= 640 && box.height >= 72, JSON.stringify(box));
    }
    // By the keyboard alone.
    await page.locator("h1").first().waitFor();
    await page.locator("button:text-is('Open')").focus();
    await page.keyboard.press("Enter");
    await page.waitForSelector("h1:text-is('Opened')");
    const back = await page.locator("button:text-is('Take it back')").boundingBox();
    assert(back.y + back.height <= 640, "taken back without looking for it: " + JSON.stringify(back));
    // Out of reach in the cellar: it waits, says so, and arrives.
    await page.goto(PAGE + "/j/" + OTHER);
    await phone.setOffline(true);
    await page.click("button:text-is('Open')");
    await page.waitForSelector("text=Waiting on this phone: 1");
    await page.click("button:text-is('Send now')");
    await phone.setOffline(false);
    await page.click("button:text-is('Send now')").catch(() => {});
    await page.waitForSelector("#waiting", { state: "hidden" });
    // Without JavaScript.
    const plain = await browser.newContext({ javaScriptEnabled: false, storageState: await phone.storageState() });
    const bare = await plain.newPage();
    await bare.goto(PAGE + "/j/" + JAR);
    await bare.click("button:text-is('Eaten up')");
    await bare.click("button:text-is('Take it back')");
    assert((await bare.textContent("h1")) === "Taken back");
    // A page of another origin can neither post, nor frame, nor read.
    const evil = http.createServer((_, answer) => { answer.setHeader("content-type", "text/html"); answer.end("<iframe id=f></iframe>"); });
    await new Promise((ready) => evil.listen(0, "127.0.0.1", ready));
    const stranger = await phone.newPage();
    await stranger.goto("http://localhost:" + evil.address().port);
    const tried = await stranger.evaluate(async ([at, jar]) => {
      const read = await fetch(at + "/", { credentials: "include" }).then(() => "read", () => "kept out");
      await fetch(at + "/j/" + jar + "/finish", { method: "POST", mode: "no-cors", credentials: "include", body: new URLSearchParams({ key: "8c1f2a10-5a0e-4b6e-9f55-0d3a5d3f7a09" }) }).catch(() => {});
      const frame = document.getElementById("f");
      frame.src = at + "/";
      await new Promise((done) => { frame.onload = done; setTimeout(done, 3000); });
      let inside;
      try { inside = frame.contentDocument ? "seen" : "kept out"; } catch { inside = "kept out"; }
      return [read, inside];
    }, [PAGE, JAR]);
    assert.deepStrictEqual(tried, ["kept out", "kept out"]);
    evil.close();
  } finally { await browser.close(); }
})().catch((error) => { console.error(error); process.exit(1); });
