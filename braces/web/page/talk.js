// The page's only way to the server: every call carries the token of this run, every answer is JSON.

const KEEP = "braces-token";
let token = "";

export async function enter() {
  const given = new URLSearchParams(location.hash.slice(1));
  history.replaceState(null, "", location.pathname);
  if (given.get("token")) {
    token = given.get("token");
  } else if (given.get("once")) {
    const answer = await fetch("/api/enter", {
      method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ once: given.get("once") }),
    });
    if (answer.ok) token = (await answer.json()).token;
  }
  if (token) sessionStorage.setItem(KEEP, token);
  else token = sessionStorage.getItem(KEEP) || "";
  return token !== "";
}

const headers = () => ({ "x-braces-token": token });

// How many calls are under way, told to whoever waits for the page to settle.
let calls = 0;
async function counted(work) {
  calls += 1;
  document.body.dataset.busy = "yes";
  try {
    return await work();
  } catch {
    return { refusal: "the program does not answer" };
  } finally {
    calls -= 1;
    if (!calls) setTimeout(() => { if (!calls) document.body.dataset.busy = "no"; }, 30);
  }
}

async function read(answer) {
  const kind = answer.headers.get("content-type") || "";
  const table = kind.startsWith("application/json") ? await answer.json() : { refusal: await answer.text() };
  if (!answer.ok && !table.refusal) table.refusal = `the server answered ${answer.status}`;
  return table;
}

export async function ask(what, query = {}) {
  const words = new URLSearchParams(query).toString();
  return counted(async () => read(await fetch(`/api/${what}${words ? "?" + words : ""}`, { headers: headers() })));
}

export async function tell(what, table) {
  return counted(async () => read(await fetch(`/api/${what}`, {
    method: "POST", headers: { ...headers(), "content-type": "application/json" }, body: JSON.stringify(table),
  })));
}

export async function picture(query) {
  try {
    const answer = await fetch(`/api/sheet?${new URLSearchParams(query)}`, { headers: headers() });
    return answer.ok ? URL.createObjectURL(await answer.blob()) : "";
  } catch {
    return "";
  }
}

// News come as one JSON line each, for as long as the server is there; then it is tried again.
export async function listen(onNews, onThere) {
  for (;;) {
    try {
      const answer = await fetch("/api/news", { headers: headers() });
      if (answer.status === 401) return onThere(false, "This page is of an earlier run. Open the address the program printed.");
      onThere(true);
      const lines = answer.body.pipeThrough(new TextDecoderStream()).getReader();
      let rest = "";
      for (;;) {
        const { value, done } = await lines.read();
        if (done) break;
        rest += value;
        const parts = rest.split("\n");
        rest = parts.pop();
        for (const part of parts) if (part) onNews(JSON.parse(part));
      }
    } catch { /* told below */ }
    onThere(false, "The program has stopped. What was not saved is kept as a draft for the next time.");
    await new Promise((go) => setTimeout(go, 1500));
  }
}
