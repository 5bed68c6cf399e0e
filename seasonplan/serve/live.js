// The live page: ticks go without leaving the page, wait on this phone while there is no network, and the page follows
// the plan. Without this file every form works all the same.
"use strict";
(() => {
  const KEPT = "kept-ticks", PAUSE_MS = 1500, SLOW_MS = 20000, PATIENCE_MS = 6000;
  const read = () => { try { return JSON.parse(localStorage.getItem(KEPT) || "[]"); } catch { return []; } };
  const write = list => { try { localStorage.setItem(KEPT, JSON.stringify(list)); return true; } catch { return false; } };
  const say = text => { const p = document.getElementById("kept"); p.textContent = text; p.hidden = !text; };
  const state = text => { const p = document.getElementById("state"); if (p) p.textContent = text; };
  const told = () => { const n = read().length;
    say(n ? `${n} ${n == 1 ? "tick waits" : "ticks wait"} on this phone until the network is back.` : ""); };

  async function ask(url, options = {}) {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), PATIENCE_MS);
    try { return await fetch(url, {...options, signal: stop.signal, credentials: "same-origin"}); }
    finally { clearTimeout(timer); }
  }

  // "sent", "refused" with the reason, or null where nobody answered.
  async function send(action, fields) {
    let answer;
    try {
      const now = await (await ask("/state")).json();
      const body = new URLSearchParams(fields); body.set("token", now.token);
      answer = await ask(action, {method: "POST", body, headers: {"x-live": "1"}});
    } catch { return null; }
    if (answer.ok) return {sent: true};
    if (answer.status >= 500) return null;
    const text = await answer.text();
    try { return {refused: JSON.parse(text).fault}; } catch { return {refused: text.slice(0, 300)}; }
  }

  let sending = false;
  async function flush() {
    if (sending) return;
    sending = true;
    try {
      for (let list = read(); list.length; list = read()) {
        const done = await send(list[0].action, list[0].fields);
        if (done === null) break;
        write(read().slice(1));
        if (done.refused) alert(done.refused);
      }
    } finally { sending = false; told(); }
  }

  document.addEventListener("submit", async event => {
    const form = event.target;
    if (!form.matches("form[data-tick]")) return;
    event.preventDefault();
    const fields = [...new FormData(form)].map(([key, value]) => [key, String(value)]);
    const card = form.closest(".card");
    card?.classList.add("sent");
    form.querySelectorAll("button").forEach(button => { button.disabled = true; });
    if (!write([...read(), {action: form.getAttribute("action"), fields}])) { form.submit(); return; }
    told();
    await flush();
    if (!read().length) { follow(0); if (!card) location.href = "/"; }
  });

  const busy = () => [...document.querySelectorAll("main input:not([type=hidden]), main select")].some(e =>
    e.checkVisibility?.() && e.value !== e.defaultValue && e.type !== "date" && e.type !== "checkbox" && e.tagName !== "SELECT");

  async function refresh() {
    const open = [...document.querySelectorAll("main details")].map(d => d.open);
    const text = await (await ask(location.href)).text();
    const next = new DOMParser().parseFromString(text, "text/html");
    const main = next.querySelector("main");
    if (!main) return;
    const at = scrollY;
    document.querySelector("main").replaceWith(document.adoptNode(main));
    document.body.dataset.version = next.body.dataset.version;
    document.querySelectorAll("main details.later").forEach((d, n) => { d.open = open[n] || false; });
    scrollTo(0, at);
  }

  let timer;
  function follow(wait) { clearTimeout(timer); timer = setTimeout(look, wait); }
  async function look() {
    let pause = SLOW_MS;
    try {
      const now = await (await ask("/state")).json();
      state(now.busy ? "Planning again \u2026" : `Planned at ${now.when}.`);
      if (now.busy) pause = PAUSE_MS;
      if (read().length) await flush();
      if (String(now.version) !== document.body.dataset.version && !busy() && location.pathname === "/") await refresh();
    } catch { state("No answer from the computer."); pause = PAUSE_MS * 4; }
    follow(document.hidden ? SLOW_MS : pause);
  }
  addEventListener("online", () => follow(0));
  document.addEventListener("visibilitychange", () => { if (!document.hidden) follow(0); });
  told();
  follow(document.getElementById("state") ? PAUSE_MS : SLOW_MS);
})();
