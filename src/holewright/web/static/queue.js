// Answers on their way to the record book: kept on the tablet until the book has them.
// Each carries a key of its own, so that one that is sent twice is written once.

const PATIENCE_MS = 6000;
const AGAIN_MS = 2000;
const SLOW_MS = 700;

export class Queue {
  constructor(name, listener) {
    this.name = name;
    this.listener = listener;
    this.items = this.#load();
    this.ids = new Map();
    this.sending = false;
    this.busy = null;
    this.timer = 0;
    this.why = "";
    addEventListener("online", () => this.send());
    addEventListener("offline", () => this.#say("No network."));
  }

  #load() {
    try {
      return JSON.parse(localStorage.getItem(this.name)) ?? [];
    } catch {
      return [];
    }
  }

  #store() {
    try {
      if (this.items.length) localStorage.setItem(this.name, JSON.stringify(this.items));
      else localStorage.removeItem(this.name);
    } catch {
      this.#say("This browser keeps nothing: don't close the page.");
    }
  }

  #say(why) {
    this.why = why;
    this.listener.state(this.items.length, why);
  }

  add(item) {
    this.items.push(item);
    this.#store();
    if (this.why) this.#say(this.why);
    this.send();
  }

  // Take an answer out that hasn't left yet; false if it is on its way or there already.
  drop(key) {
    const at = this.items.findIndex((item) => item.key === key);
    if (at < 0 || this.items[at] === this.busy) return false;
    this.items.splice(at, 1);
    this.#store();
    this.#say(this.items.length ? this.why : "");
    return true;
  }

  // One answer after the other, and one sender at a time: the order at the gauge is kept.
  async send() {
    if (this.sending) return;
    this.sending = true;
    clearTimeout(this.timer);
    let why = "";
    while (this.items.length && !why) {
      this.busy = this.items[0];
      why = await this.#sendOne(this.busy);
      this.busy = null;
    }
    this.sending = false;
    this.#say(why);
  }

  // Send one answer; return why it has to wait, or nothing when the book has spoken.
  async #sendOne(item) {
    const slow = setTimeout(() => this.#say("The network is slow."), SLOW_MS);
    let answer = null;
    let said = {};
    try {
      answer = await this.#post(item);
      said = await answer.json();
    } catch {
      // No network, or an answer that broke off: ask again, the key keeps it from doubling.
      if (!answer?.status || answer.ok) answer = null;
    }
    clearTimeout(slow);
    if (!answer || answer.status >= 500 || answer.status === 429) {
      this.timer = setTimeout(() => this.send(), AGAIN_MS);
      return answer ? "The record book can't be reached." : "No network.";
    }
    if (answer.status === 401 || answer.status === 403) {
      return "You are no longer signed in as a gauger: sign in again, then come back here.";
    }
    this.items.shift();
    this.#store();
    if (answer.ok) {
      if (item.kind === "answer") this.ids.set(item.key, said.id);
      this.listener.saved(item, said);
    } else {
      this.listener.refused(item, said.detail ?? "the answer can't be used");
    }
    return "";
  }

  #post(item) {
    let url = item.url;
    if (item.kind === "back") {
      const id = item.id ?? this.ids.get(item.of);
      if (!id) return Promise.resolve(new Response("{}", { status: 200 })); // was never written
      url = `/api/v1/jobs/${item.job}/readings/${id}/taken-back`;
    }
    return fetch(url, {
      method: "POST",
      headers: {
        "content-type": "application/json",
        "idempotency-key": item.key,
        "x-csrf-token": document.querySelector('meta[name="csrf"]').content,
      },
      body: item.body ? JSON.stringify(item.body) : "{}",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
  }
}
