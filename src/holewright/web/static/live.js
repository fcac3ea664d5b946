// Shows what a callout is understood as while it is being typed.

const FIELDS = ["callout", "units", "standard"];
const PAUSE_MS = 40;

// On a phone the panel stands below the form: say the limits beside the callout as well.
function echo(panel) {
  const line = document.getElementById("echo");
  if (line) line.textContent = panel.querySelector(".big, .wrong")?.textContent.replace(/\s+/g, " ") ?? "";
}

export function live(input, panel) {
  if (!input || !panel) return;
  const form = input.form;
  let timer = 0;
  let latest = 0;

  async function ask() {
    const mine = ++latest;
    const said = new URLSearchParams();
    for (const name of FIELDS) {
      const field = form.elements.namedItem(name);
      if (field && field.value) said.set(name, field.value);
    }
    let text;
    try {
      const answer = await fetch(`${input.dataset.live}?${said}`);
      if (!answer.ok) return;
      text = await answer.text();
    } catch {
      return; // no network: what stands there stays
    }
    if (mine !== latest) return; // a later question was asked meanwhile
    panel.innerHTML = text;
    panel.dataset.for = input.value;
    echo(panel);
  }

  function soon() {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE_MS);
  }

  echo(panel);
  for (const name of FIELDS) form.elements.namedItem(name)?.addEventListener("input", soon);

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-fill]");
    if (!button) return;
    const field = form.elements.namedItem(button.dataset.fill);
    if (!field) return;
    field.value = button.textContent.trim();
    field.focus();
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}
