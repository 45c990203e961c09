// Light and dark, keys for undo and save, and going to a field.
(() => {
  const root = document.documentElement;
  const kept = localStorage.getItem("foilwright-shade");
  if (kept) root.dataset.shade = kept;
  const dark = () => (root.dataset.shade ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
  root.lang = "en";
  document.addEventListener("click", (event) => {
    if (!event.target.closest?.("button[data-shade]")) return;
    root.dataset.shade = dark() ? "light" : "dark";
    localStorage.setItem("foilwright-shade", root.dataset.shade);
  });
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const name = { s: "save", z: event.shiftKey ? "redo" : "undo", y: "redo" }[event.key.toLowerCase()];
    const typing = event.target.matches?.("input[type=text],textarea") && event.target.value !== (event.target.sent ?? event.target.defaultValue);
    if (!name || (name !== "save" && typing)) return;
    const button = document.querySelector(`button[data-do="${name}"]`);
    if (!button) return;
    event.preventDefault();
    if (name === "save" && typing) event.target.blur();
    setTimeout(() => button.click(), typing ? 300 : 0);
  });
  globalThis.foilwright = {
    see(id) {
      const found = document.getElementById(id);
      const top = found?.getBoundingClientRect().top ?? 0;
      if (!found || (top >= 0 && top < innerHeight * 0.6)) return;
      found.scrollIntoView({ block: "start", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
    },
    point(near, part) {
      for (const told of near.querySelectorAll("[data-told]")) told.hidden = told.dataset.told !== part;
      for (const each of near.querySelectorAll("[data-about]")) each.classList.toggle("pointed", each.dataset.about === part);
      near.dispatchEvent(new CustomEvent("pointed", { detail: part }));
    },
    seek(id) {
      let tries = 20;
      const look = () => {
        const found = document.getElementById(id);
        if (!found) return tries-- > 0 && setTimeout(look, 50);
        found.focus({ preventScroll: true });
        found.closest(".field").scrollIntoView({ block: "center" });
      };
      look();
    },
  };
})();
