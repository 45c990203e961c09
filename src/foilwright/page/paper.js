// One region of the page: text from the server, changed in place so that focus, scrolling and typing stay.
const key = (node) => (node.nodeType === 1 ? node.dataset.key || node.id : "");

function attributes(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !(name === "open" && old.tagName === "DETAILS")) old.removeAttribute(name);
  }
  for (const { name, value } of [...fresh.attributes]) {
    if (old.getAttribute(name) === value || (name === "open" && old.tagName === "DETAILS")) continue;
    old.setAttribute(name, value);
  }
}

function written(old, fresh, typing) {
  const tag = old.tagName;
  if (tag === "INPUT" && (old.type === "checkbox" || old.type === "radio")) old.checked = fresh.hasAttribute("checked");
  else if (tag === "SELECT") old.value = fresh.dataset.value ?? old.value;
  else if (tag === "INPUT" || tag === "TEXTAREA") {
    const value = tag === "INPUT" ? fresh.getAttribute("value") ?? "" : fresh.textContent;
    if (!typing && old.value !== value && old.dataset.keep === undefined) old.value = value;
    old.sent = undefined;
  }
}

function alike(old, fresh) {
  if (old.isEqualNode(fresh) && !fresh.querySelector?.("input,select,textarea") && old.tagName !== "INPUT") return;
  if (old.nodeType !== 1) {
    if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
    return;
  }
  const typing = document.activeElement === old && old.value !== (old.sent ?? old.defaultValue);
  attributes(old, fresh);
  if (old.tagName !== "TEXTAREA") children(old, fresh);
  written(old, fresh, typing);
}

function children(old, fresh) {
  let at = old.firstChild;
  for (const next of [...fresh.childNodes]) {
    const wanted = key(next);
    if (wanted && at && key(at) !== wanted) {
      for (let other = at.nextSibling; other; other = other.nextSibling) {
        if (key(other) === wanted) {
          old.insertBefore(other, at);
          at = other;
          break;
        }
      }
    }
    if (at && at.nodeType === next.nodeType && at.nodeName === next.nodeName && key(at) === wanted) {
      alike(at, next);
      at = at.nextSibling;
    } else {
      old.insertBefore(next, at);
    }
  }
  while (at) {
    const after = at.nextSibling;
    at.remove();
    at = after;
  }
}

const typed = (target) => target.matches("input:not([type=range]):not([type=checkbox]):not([type=radio]),textarea");

export default {
  template: "<div></div>",
  props: { html: String },
  mounted() {
    const root = this.$el;
    root.innerHTML = this.html;
    root.addEventListener("click", (event) => this.pressed(event));
    root.addEventListener("change", (event) => this.changed(event.target));
    root.addEventListener("input", (event) => this.slid(event.target));
    root.addEventListener("keydown", (event) => this.keyed(event));
    for (const kind of ["pointerover", "focusin"]) root.addEventListener(kind, (event) => this.pointed(event.target));
    root.addEventListener("submit", (event) => event.preventDefault());
    for (const kind of ["dragover", "dragleave", "drop"]) root.addEventListener(kind, (event) => this.dragged(event));
  },
  watch: {
    html(text) {
      const fresh = document.createElement("div");
      fresh.innerHTML = text;
      children(this.$el, fresh);
    },
  },
  methods: {
    tell(target, value) {
      const { do: act, ...rest } = target.dataset;
      this.$emit("act", { ...rest, act, value: value ?? rest.value ?? "" });
    },
    pressed(event) {
      const target = event.target.closest("[data-do]");
      if (!target || target.matches("input,select,textarea,label,form") || target.disabled) return;
      if (target.tagName === "A") event.preventDefault();
      if (target.dataset.ask) {
        const field = this.$el.querySelector(`#${target.dataset.ask}`);
        if (!field.value.trim()) return field.focus();
        return this.tell(target, field.value);
      }
      this.tell(target);
    },
    changed(target) {
      if (!target.dataset?.do) {
        if (target.type === "file" && target.files[0]) target.dataset.to ? this.carried(target, [...target.files]) : this.brought(target);
        return;
      }
      if (target.type === "checkbox") return this.tell(target, target.checked);
      if (typed(target) && target.value === (target.sent ?? target.defaultValue)) return;
      target.sent = target.value;
      this.tell(target, target.value);
    },
    slid(target) {
      if (target.type !== "range" || this.waiting) return;
      this.waiting = setTimeout(() => {
        this.waiting = 0;
        this.tell(target, target.value);
      }, 60);
    },
    keyed(event) {
      const target = event.target;
      if (!typed(target) || target.tagName === "TEXTAREA") return;
      if (event.key === "Enter" && target.dataset.do) this.changed(target);
      else if (event.key === "Enter" && target.dataset.presses) this.$el.querySelector(`#${target.dataset.presses}`).click();
      else if (event.key === "Escape" && target.dataset.do) target.value = target.sent ?? target.defaultValue;
      else if (target.dataset.step && (event.key === "ArrowUp" || event.key === "ArrowDown")) this.stepped(event, target);
    },
    stepped(event, target) {
      const now = Number(target.value);
      if (target.value.trim() === "" || Number.isNaN(now)) return;
      event.preventDefault();
      const step = Number(target.dataset.step) * (event.shiftKey ? 10 : 1) * (event.key === "ArrowUp" ? 1 : -1);
      target.value = String(Number((now + step).toPrecision(10)));
      clearTimeout(this.stepping);
      this.stepping = setTimeout(() => this.changed(target), 150);
    },
    pointed(target) {
      const about = target.closest?.("[data-about]");
      if (!about) return;
      globalThis.foilwright.point(this.$el.closest(".column") ?? this.$el, about.dataset.about);
    },
    dragged(event) {
      const place = event.target.closest?.("[data-drop]");
      if (!place) return;
      event.preventDefault();
      place.classList.toggle("over", event.type === "dragover");
      if (event.type === "drop" && event.dataTransfer.files.length) {
        this.carried(place.querySelector("input[type=file]"), [...event.dataTransfer.files]);
      }
    },
    async carried(target, files) {
      const { to, build } = target.dataset;
      const day = this.$el.querySelector("#day-name")?.value.trim() ?? "";
      const say = (told) => this.$emit("act", { act: "told", value: told });
      target.value = "";
      const told = [];
      for (const file of files.slice(0, 60)) {
        const name = file.name.slice(0, 80);
        const most = /\.toml$/i.test(name) ? 1 : 60;
        if (file.size > most * 1000000) {
          told.push(`${name} has ${Math.round(file.size / 1000000)} MB; a file of one day has at most ${most} MB. It was not sent.`);
          continue;
        }
        say(`Bringing ${name}.`);
        const asked = new URLSearchParams({ build, name: file.name, day });
        const answer = await fetch(`${to}?${asked}`, { method: "POST", body: file }).catch(() => null);
        if (!answer) told.push(`${name} did not arrive; is the program still running?`);
        else told.push((await answer.json().catch(() => ({ told: `${name} was refused.` }))).told);
      }
      say(told.join("\n"));
    },
    async brought(target) {
      const file = target.files[0];
      const say = (told) => this.$emit("act", { act: "told", value: told });
      target.value = "";
      if (file.size > 1000000) return say(`${file.name.slice(0, 60)} is larger than a build file can be (1 MB).`);
      const answer = await fetch(`bring?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file }).catch(() => null);
      if (!answer) return say("The file did not arrive; is the program still running?");
      const told = await answer.json().catch(() => ({ told: "The file was refused." }));
      if (told.go) window.location.assign(told.go);
      else say(told.told);
    },
  },
};
