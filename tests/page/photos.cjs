// Simulated pictures of printed labels, the same every time: a pinhole camera, a label that lies flat or is stuck around
// a jar, light from one side, blur, motion and noise. The light and the noise are guesses, from no source.
const fs = require("fs");

// The middle of a picture of 3,000 by 4,000 points, as a phone takes it.
const WIDTH = 1500, HEIGHT = 2000;
// A phone's main camera sees about 65 degrees across its short side (common practice, no source).
const FOCAL = 3000 / (2 * Math.tan((32.5 * Math.PI) / 180));

function pgm(file) {
  const bytes = fs.readFileSync(file);
  let at = 0;
  const field = () => { const from = at; while (bytes[at] > 32) at++; return bytes.toString("latin1", from, at++); };
  field();
  const width = +field(), height = +field();
  field();
  return { width, height, grey: bytes.subarray(at) };
}

// A part of a page that was drawn at so many dots a millimetre.
function cut(page, dots, [left, top, width, height]) {
  const [x0, y0, w, h] = [left, top, width, height].map((mm) => Math.round(mm * dots));
  const grey = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) grey.set(page.grey.subarray((y0 + y) * page.width + x0, (y0 + y) * page.width + x0 + w), y * w);
  return { width: w, height: h, grey, dots };
}

// Mulberry32 (public domain, from memory); any generator would do.
function generator(seed) {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function blurred(grey, width, height, sigma) {
  const reach = Math.max(1, Math.ceil(sigma * 2.5));
  const kernel = [];
  for (let i = -reach; i <= reach; i++) kernel.push(Math.exp((-i * i) / (2 * sigma * sigma)));
  const sum = kernel.reduce((a, b) => a + b);
  const pass = (from, step, length, lines, stride) => {
    const to = new Float32Array(from.length);
    for (let line = 0; line < lines; line++) {
      const base = line * stride;
      for (let i = 0; i < length; i++) {
        let v = 0;
        for (let k = -reach; k <= reach; k++) {
          const at = Math.min(length - 1, Math.max(0, i + k));
          v += kernel[k + reach] * from[base + at * step];
        }
        to[base + i * step] = v / sum;
      }
    }
    return to;
  };
  return pass(pass(Float32Array.from(grey), 1, width, height, width), width, height, width, 1);
}

function turn(yaw, pitch, roll) {
  const [y, p, r] = [yaw, pitch, roll].map((degrees) => (degrees * Math.PI) / 180);
  const times = (a, b) => a.map((row) => b[0].map((_, j) => row.reduce((sum, v, k) => sum + v * b[k][j], 0)));
  const Ry = [[Math.cos(y), 0, Math.sin(y)], [0, 1, 0], [-Math.sin(y), 0, Math.cos(y)]];
  const Rx = [[1, 0, 0], [0, Math.cos(p), -Math.sin(p)], [0, Math.sin(p), Math.cos(p)]];
  const Rz = [[Math.cos(r), -Math.sin(r), 0], [Math.sin(r), Math.cos(r), 0], [0, 0, 1]];
  return times(times(Rz, Rx), Ry);
}

// Lengths in millimetres, angles in degrees, blur in pixels, light as grey of 0 to 255.
function shoot(label, view, random) {
  const { dist, yaw = 0, pitch = 0, roll = 0, radius = 0, shift = [0, 0], blur = 0.7, motion = 0 } = view;
  const { low = 25, high = 225, slope = 0, noise = 3 } = view;
  const R = turn(yaw, pitch, roll);
  const into = (v) => [0, 1, 2].map((j) => v[0] * R[0][j] + v[1] * R[1][j] + v[2] * R[2][j]);
  const o = into([-shift[0], -shift[1], -dist]);
  const soft = blurred(label.grey, label.width, label.height, Math.max(0.3, (label.dots * dist / FOCAL) * 0.45));
  const back = Array.from({ length: 26 * 20 }, () => 60 + 115 * random());
  const stripe = 9 + 31 * random();
  let picture = new Float32Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const d = into([(x + 0.5 - WIDTH / 2) / FOCAL, (y + 0.5 - HEIGHT / 2) / FOCAL, 1]);
      let u, v, seen, light = 1;
      if (!radius) {
        const t = -o[2] / d[2];
        seen = t > 0;
        u = o[0] + t * d[0]; v = o[1] + t * d[1];
      } else {
        // The jar stands along y, its glass nearest at z = 0.
        const oz = o[2] - radius;
        const a = d[0] * d[0] + d[2] * d[2], b = 2 * (o[0] * d[0] + oz * d[2]), c = o[0] * o[0] + oz * oz - radius * radius;
        const root = b * b - 4 * a * c;
        seen = root > 0;
        const t = (-b - Math.sqrt(Math.max(root, 0))) / (2 * a);
        const angle = Math.atan2(o[0] + t * d[0], -(oz + t * d[2]));
        u = angle * radius; v = o[1] + t * d[1];
        light = seen ? Math.max(0.15, Math.cos(angle * 0.9)) : 0.5;
      }
      const px = (u + label.width / label.dots / 2) * label.dots, py = (v + label.height / label.dots / 2) * label.dots;
      let grey;
      if (seen && px >= 0 && py >= 0 && px < label.width - 1 && py < label.height - 1) {
        const ix = px | 0, iy = py | 0, fx = px - ix, fy = py - iy, at = iy * label.width + ix;
        grey = (soft[at] * (1 - fx) + soft[at + 1] * fx) * (1 - fy) + (soft[at + label.width] * (1 - fx) + soft[at + label.width + 1] * fx) * fy;
      } else {
        const bx = (x / WIDTH) * 19, by = (y / HEIGHT) * 25, ix = bx | 0, iy = by | 0, fx = bx - ix, fy = by - iy, at = iy * 20 + ix;
        grey = (back[at] * (1 - fx) + back[at + 1] * fx) * (1 - fy) + (back[at + 20] * (1 - fx) + back[at + 21] * fx) * fy + 25 * Math.sin(x / stripe);
      }
      grey = low + (Math.min(255, Math.max(0, grey)) / 255) * (high - low);
      picture[y * WIDTH + x] = grey * light * (1 + slope * (x / WIDTH - 0.5));
    }
  }
  picture = blurred(picture, WIDTH, HEIGHT, blur);
  const grey = new Uint8Array(WIDTH * HEIGHT);
  for (let at = 0; at < grey.length; at++) {
    let value = picture[at];
    for (let k = 1; k < motion; k++) value += picture[Math.max(0, at - k)];
    const chance = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    grey[at] = Math.min(255, Math.max(0, value / Math.max(1, motion) + noise * chance));
  }
  return { width: WIDTH, height: HEIGHT, grey };
}

const KINDS = {
  "plain": (u) => ({ dist: u(120, 200), roll: u(-15, 15), yaw: u(-8, 8), pitch: u(-8, 8) }),
  "tilted": (u) => ({ dist: u(130, 190), roll: u(-180, 180), yaw: (u(-1, 1) < 0 ? -1 : 1) * u(30, 52), pitch: u(-25, 25) }),
  "far": (u) => ({ dist: u(240, 340), roll: u(-20, 20), yaw: u(-12, 12), pitch: u(-12, 12), blur: 0.5, shift: [u(-30, 30), u(-40, 40)] }),
  "blurred": (u) => ({ dist: u(120, 180), roll: u(-20, 20), yaw: u(-12, 12), pitch: u(-12, 12), blur: u(2, 4), motion: u(0, 1) < 0.5 ? 0 : 7 }),
  "dim": (u) => ({ dist: u(120, 200), roll: u(-20, 20), yaw: u(-12, 12), pitch: u(-12, 12), low: u(8, 20), high: u(45, 75), noise: u(4, 7), slope: u(-1, 1), blur: 1 }),
  "curved": (u) => ({ dist: u(120, 190), roll: u(-15, 15), yaw: u(-15, 15), pitch: u(-15, 15), radius: u(32, 44), slope: u(-0.6, 0.6) }),
  "all at once": (u) => ({ dist: u(130, 210), roll: u(-60, 60), yaw: u(-30, 30), pitch: (u(-1, 1) < 0 ? -1 : 1) * u(15, 35), radius: u(32, 44), slope: u(-1.2, 1.2), blur: u(0.7, 1.4), noise: 5, low: 15, high: u(110, 200) }),
};

// So many pictures of each kind, label after label, one at a time.
function* pictures(labels, each) {
  const random = generator(17);
  const u = (from, to) => from + (to - from) * random();
  for (const [kind, view] of Object.entries(KINDS)) {
    for (let n = 0; n < each; n++) {
      const label = labels[n % labels.length];
      yield { kind, code: label.code, picture: shoot(label, view(u), random) };
    }
  }
}

// One grey picture as the bytes of a JPEG of 3,000 by 4,000 points, in whose middle it stands.
async function jpeg(page, { width, height, grey }) {
  const data = await page.evaluate(async ([width, height, text]) => {
    const grey = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const small = new OffscreenCanvas(width, height), drawn = small.getContext("2d");
    const points = drawn.createImageData(width, height);
    grey.forEach((value, at) => points.data.set([value, value, value, 255], at * 4));
    drawn.putImageData(points, 0, 0);
    const whole = new OffscreenCanvas(2 * width, 2 * height), context = whole.getContext("2d");
    context.drawImage(small, 0, 0, 1, height, 0, 0, 2 * width, 2 * height);
    context.drawImage(small, width / 2, height / 2);
    const bytes = new Uint8Array(await (await whole.convertToBlob({ type: "image/jpeg", quality: 0.85 })).arrayBuffer());
    let said = "";
    for (let at = 0; at < bytes.length; at += 8192) said += String.fromCharCode(...bytes.subarray(at, at + 8192));
    return btoa(said);
  }, [width, height, Buffer.from(grey).toString("base64")]);
  return Buffer.from(data, "base64");
}

// Photographs labels into the page, which is to lead to their jars; tells how many of each kind it read.
(async () => {
  const { PAGE, CODE, SHEETS, EACH } = process.env;
  const { chromium } = require("playwright-core");
  const labels = JSON.parse(SHEETS).flatMap(({ file, dots, jars }) => {
    const page = pgm(file);
    return jars.map(({ code, box }) => ({ ...cut(page, dots, box), code }));
  });
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  const read = {};
  try {
    const phone = await browser.newContext({ viewport: { width: 360, height: 640 } });
    const page = await phone.newPage();
    await page.goto(PAGE + "/pair?code=" + CODE);
    await page.click("button:text-is('Pair this phone')");
    await page.waitForURL(PAGE + "/");
    const studio = await browser.newPage();
    for (const { kind, code, picture } of pictures(labels, +EACH)) {
      const buffer = await jpeg(studio, picture);
      await page.goto(PAGE + "/find");
      await page.locator(".scan:not([hidden])").waitFor();
      const begun = Date.now();
      await page.locator("#photo").setInputFiles({ name: "label.jpg", mimeType: "image/jpeg", buffer });
      const led = page.waitForURL((url) => url.pathname.startsWith("/j/"), { timeout: 120000 }).then(() => new URL(page.url()).pathname.slice(3));
      const none = page.waitForFunction(() => document.getElementById("scanned")?.textContent.startsWith("No code"), null, { timeout: 120000 }).then(() => "");
      const said = await Promise.any([led, none]);
      led.catch(() => {}); none.catch(() => {});
      if (said !== "" && said !== code) throw new Error(kind + ": read " + said + " for " + code);
      const tally = (read[kind] ??= { read: 0, of: 0, most_ms: 0 });
      tally.of++;
      if (said === code) tally.read++;
      tally.most_ms = Math.max(tally.most_ms, Date.now() - begun);
    }
  } finally { await browser.close(); }
  console.log(JSON.stringify(read));
})().catch((error) => { console.error(error); process.exit(1); });
