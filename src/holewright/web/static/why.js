// Opens why a number is what it is in a panel over the page, instead of on a page of its own.

export function whyPanel(dialog) {
  if (!dialog?.showModal) return;

  document.addEventListener("click", async (event) => {
    const link = event.target.closest("a.why");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    try {
      const answer = await fetch(`${link.getAttribute("href")}?panel=1`);
      const text = await answer.text();
      if (!answer.ok) {
        location.href = link.href;
        return;
      }
      dialog.innerHTML = text;
    } catch {
      location.href = link.href;
      return;
    }
    const close = document.createElement("button");
    close.textContent = "Close";
    close.autofocus = true;
    close.addEventListener("click", () => dialog.close());
    dialog.append(close);
    if (!dialog.open) dialog.showModal();
    close.focus();
  });

  dialog.addEventListener("click", (event) => {
    if (event.target === dialog) dialog.close();
  });
}
