// Acts wait on the phone while the ledger is out of reach, and arrive once: each carries a name of its own.
"use strict";
const WAITING = "waiting", REFUSED = "refused";
const kept = (name) => JSON.parse(localStorage.getItem(name) || "[]");
const keep = (name, list) => localStorage.setItem(name, JSON.stringify(list));
const text = (tag, words) => { const made = document.createElement(tag); made.textContent = words; return made; };

// Shows a page in place of this one, so that this one stays where the next cannot be had.
function show(html, path) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const main = page.querySelector("main");
  if (!main) return;
  document.querySelector("main").replaceWith(main);
  document.title = page.title;
  if (path) history.pushState(null, "", path);
  scrollTo(0, 0);
  const head = main.querySelector("h1");
  if (head) { head.tabIndex = -1; head.focus({ preventScroll: true }); }
  ticked();
}

function send(act) {
  const body = new URLSearchParams(act.body);
  body.set("age", Math.max(0, Math.round((Date.now() - act.at) / 1000)));
  return fetch(act.to, { method: "POST", body, redirect: "follow", signal: AbortSignal.timeout(15000) });
}

// What the ledger may yet take: it is busy or full, or does not know this phone at the moment.
const later = (status) => status >= 500 || [401, 403, 408, 421, 429].includes(status);

let sending = false;
async function sendWaiting() {
  if (sending) return;
  sending = true;
  try {
    for (let acts = kept(WAITING); acts.length > 0; acts = kept(WAITING)) {
      const act = acts[0];
      const answer = await send(act);
      if (later(answer.status)) break;
      if (!answer.ok) {
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        const why = page.querySelector("main .warn");
        keep(REFUSED, [...kept(REFUSED), { what: act.what, why: why ? why.textContent : answer.statusText }]);
      }
      keep(WAITING, kept(WAITING).filter((other) => other.key !== act.key));
    }
  } catch { /* Still out of reach. */ } finally { sending = false; }
  showWaiting();
}

function showWaiting() {
  const box = document.getElementById("waiting");
  const acts = kept(WAITING), refused = kept(REFUSED);
  box.replaceChildren();
  box.hidden = acts.length + refused.length === 0;
  if (acts.length > 0) {
    box.append(text("h2", "Waiting on this phone: " + acts.length));
    for (const act of acts) box.append(text("p", act.what + ", " + new Date(act.at).toLocaleTimeString()));
    const now = text("button", "Send now");
    now.onclick = sendWaiting;
    box.append(now);
  }
  if (refused.length > 0) {
    box.append(text("h2", "Not done"));
    for (const act of refused) { const line = text("p", act.what + ": " + act.why); line.className = "warn"; box.append(line); }
    const read = text("button", "I have read it");
    read.onclick = () => { keep(REFUSED, []); showWaiting(); };
    box.append(read);
  }
}

const outOfReach = (code) => "<main><h1>The ledger is out of reach</h1><p>What you write down here waits on this phone.</p>" +
  "<form method=post data-blind><label for=blind>Jar</label><input id=blind name=jar required autocomplete=off value=\"" + code + "\">" +
  "<div class=acts><button name=act value=open>Open</button><button name=act value=finish>Eaten up</button></div></form>" +
  "<p><a class=tap href=\"/\">Try again</a></p></main>";

addEventListener("submit", async (event) => {
  const form = event.target;
  if (form.method !== "post" || form.action.endsWith("/pair")) return;
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form));
  let to = form.action;
  if ("blind" in form.dataset) {
    to = "/j/" + encodeURIComponent(body.get("jar").trim().replace(/^.*\//, "")) + "/" + event.submitter.value;
    // No secure context on plain http, so no randomUUID.
    const random = crypto.getRandomValues(new Uint8Array(16));
    random[6] = (random[6] & 15) | 64; random[8] = (random[8] & 63) | 128;
    const hex = Array.from(random, (byte) => byte.toString(16).padStart(2, "0")).join("");
    body.set("key", hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-"));
  }
  const path = new URL(to, location).pathname;
  const what = form.dataset.what ? form.dataset.what : path.startsWith("/j/") ? path.split("/")[3] + " " + decodeURIComponent(path.split("/")[2]) : path.slice(1);
  const act = { to: path, body: body.toString(), at: Date.now(), key: body.get("key"), what };
  const looks = path === "/count" && !body.get("settle");
  if (!looks) keep(WAITING, [...kept(WAITING).filter((other) => other.key !== act.key), act]);
  const wait = () => {
    showWaiting();
    show("<main><h1>Waiting</h1><p>The ledger is out of reach. This waits on the phone and is sent with the moment it happened.</p>" +
      "<p><a class=tap href=\"/\">To today</a></p></main>");
  };
  try {
    const answer = await send(act);
    if (!looks && later(answer.status) && answer.status !== 403) { wait(); return; }
    keep(WAITING, kept(WAITING).filter((other) => other.key !== act.key));
    if (answer.ok && form.dataset.settles) localStorage.removeItem("walk " + form.dataset.settles);
    show(await answer.text());
    showWaiting();
  } catch { wait(); }
});

addEventListener("click", async (event) => {
  const link = event.target.closest && event.target.closest("a[href^='/']");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  event.preventDefault();
  go(link.href, "");
});

async function go(to, code) {
  try {
    const answer = await fetch(to, { signal: AbortSignal.timeout(15000) });
    show(await answer.text(), new URL(answer.url).pathname + new URL(answer.url).search);
    sendWaiting();
  } catch { show(outOfReach(code)); }
}

// A photographed label leads to its jar, or is ticked on a walk.
addEventListener("change", async (event) => {
  const file = event.target.id === "photo" && event.target.files[0];
  if (!file) return;
  const say = (words) => { const box = document.getElementById("scanned"); if (box) box.textContent = words; };
  say("Reading the code\u2026");
  let said = null;
  try { said = await (await import("/scan.js")).read(file); } catch { /* No picture, or no program to read it with. */ }
  event.target.value = "";
  if (said === null) { say("No code was read. Go nearer, hold it straight and into the light, or type the number."); return; }
  // A code alone, or a link that ends with it; what else a code may say is looked for and not found.
  const code = said.trim().replace(/[?#].*$/, "").replace(/\/+$/, "").replace(/^.*\//, "").replace(/[^\w -]/g, "").slice(0, 60);
  const walk = document.querySelector("form[data-walk]");
  if (!walk) { go("/find?q=" + encodeURIComponent(code), code); return; }
  const box = walk.querySelector("input[value=\"" + code + "\"]");
  const more = walk.elements.more;
  if (box) box.checked = true;
  else if (!more.value.split("\n").includes(code)) more.value = more.value.replace(/\n*$/, "") + (more.value ? "\n" : "") + code + "\n";
  say(box ? code + " is ticked." : code + " is written below: it was not expected here.");
  walk.dispatchEvent(new Event("input"));
});
addEventListener("popstate", () => location.reload());

// A walk can be put away and gone on with.
function ticked() {
  for (const scan of document.querySelectorAll(".scan[hidden]")) {
    scan.hidden = false;
    // Fetched while the ledger is in reach, for the cellar.
    import("/scan.js").catch(() => {});
  }
  const walk = document.querySelector("form[data-walk]");
  if (!walk) return;
  const name = "walk " + walk.dataset.walk;
  const seen = JSON.parse(localStorage.getItem(name) || "{}");
  for (const box of walk.querySelectorAll("input[type=checkbox]")) box.checked = (seen.boxes || []).includes(box.value);
  walk.elements.more.value = seen.more || "";
  walk.addEventListener("input", () => {
    const boxes = Array.from(walk.querySelectorAll("input:checked"), (box) => box.value);
    localStorage.setItem(name, JSON.stringify({ boxes, more: walk.elements.more.value }));
  });
}

// The time left at the stove goes on; the page stays as it is while somebody is about to press something.
setInterval(async () => {
  const stove = document.querySelector("[data-stove]");
  if (!stove || document.hidden || stove.querySelector("details[open]")) return;
  try {
    const answer = await fetch("/run", { signal: AbortSignal.timeout(8000) });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-stove]");
    if (!answer.ok || !fresh || !stove.isConnected || stove.querySelector("details[open]")) return;
    if (fresh.dataset.stove !== stove.dataset.stove) { stove.replaceWith(fresh); return; }
    for (const line of stove.querySelectorAll(".stand")) line.textContent = fresh.querySelector("#" + line.id).textContent;
    for (const line of stove.querySelectorAll("[data-old]")) line.hidden = true;
  } catch {
    for (const line of stove.querySelectorAll("[data-old][hidden]")) {
      line.textContent = "The ledger is out of reach since " + new Date().toLocaleTimeString() + ". Go by your clock.";
      line.hidden = false;
    }
  }
}, 10000);

addEventListener("online", sendWaiting);
setInterval(() => { if (kept(WAITING).length > 0) sendWaiting(); }, 15000);
ticked();
showWaiting();
sendWaiting();
