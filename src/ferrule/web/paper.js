// The sheet of paper a page is drawn on. The server says how it should look; this file sends what the coach does, keeps
// what is half typed, and tries again by itself when the connection is away. Every send carries a key that is made once,
// so that it counts once however often it arrives.
import { morph } from "/static/morph.js";

const newKey = () =>
  globalThis.crypto?.randomUUID?.() ?? `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}${Math.random().toString(36).slice(2)}`;
const MOST_BYTES = 200_000_000; // as app/recordings.py
const WAITS = [500, 1000, 2000, 4000, 8000];

export default {
  template: `<div class="desk" ref="desk"></div>`,
  props: { html: String },
  mounted() {
    const desk = this.$refs.desk;
    morph(desk, this.html);
    desk.addEventListener("submit", (e) => this.submitted(e));
    desk.addEventListener("click", (e) => this.clicked(e));
    desk.addEventListener("input", (e) => this.typed(e));
    desk.addEventListener("change", (e) => this.changed(e));
    for (const name of ["dragover", "dragleave", "drop"]) desk.addEventListener(name, (e) => this.dragged(e, name));
    // A file let go beside the drop place must not replace the page.
    for (const name of ["dragover", "drop"]) window.addEventListener(name, (e) => e.preventDefault());
    this.restore();
    // What was tapped before comes before what is tapped now.
    this.line = this.resume().catch(() => {});
    this.begin();
    this.mode();
    // Chosen on another page of this device, or the system turned dark while nothing is chosen here.
    const again = () => {
      globalThis.ferruleMode?.();
      this.mode();
    };
    window.addEventListener("storage", (e) => e.key === "ferrule-mode" && again());
    for (const query of ["(prefers-color-scheme: dark)", "(prefers-contrast: more)"]) matchMedia(query).addEventListener("change", again);
    desk.dataset.ready = "yes";
  },
  methods: {
    show(html) {
      morph(this.$refs.desk, html);
      this.restore();
      this.begin();
      this.mode();
      this.$refs.desk.dataset.drawn = String(Number(this.$refs.desk.dataset.drawn || 0) + 1);
    },

    // Parts that move by themselves bring a script of ours: data-script="/static/name.js", whose `begin` gets the part.
    begin() {
      for (const part of this.$refs.desk.querySelectorAll("[data-script]:not([data-begun])")) {
        part.dataset.begun = "yes";
        import(part.dataset.script).then((script) => script.begin(part), (fault) => console.error(fault));
      }
    },

    // --- what is half typed -----------------------------------------------------------------------------------------
    typed(event) {
      const form = event.target.closest("form[data-send]");
      if (!form || event.target.type === "file") return;
      event.target.dataset.typed = "yes";
      event.target.removeAttribute("aria-invalid");
      this.when(form);
      const all = {};
      for (const each of form.elements) {
        if (!each.name || !each.dataset.typed) continue;
        if (each.type === "radio" && !each.checked) continue;
        all[each.name] = each.type === "checkbox" ? each.checked : each.value;
      }
      try {
        sessionStorage.setItem(this.draftName(form), JSON.stringify(all));
      } catch {}
    },
    draftName: (form) => `ferrule-draft ${form.dataset.draft || form.dataset.send}`,
    restore() {
      for (const form of this.$refs.desk.querySelectorAll("form[data-send]:not([data-restored])")) {
        form.dataset.restored = "yes";
        let all = null;
        try {
          all = JSON.parse(sessionStorage.getItem(this.draftName(form)));
        } catch {}
        if (!all) continue;
        for (const each of form.elements) {
          if (!(each.name in all)) continue;
          if (each.type === "radio") {
            if (each.value !== all[each.name]) continue;
            each.checked = true;
          } else if (each.type === "checkbox") each.checked = all[each.name];
          else each.value = all[each.name];
          each.dataset.typed = "yes";
        }
        form.closest("details")?.setAttribute("open", "");
      }
      for (const form of this.$refs.desk.querySelectorAll("form[data-send]")) this.when(form);
    },
    clean(form) {
      try {
        sessionStorage.removeItem(this.draftName(form));
      } catch {}
      for (const each of form.elements) delete each.dataset.typed;
      if (form.hasAttribute("data-clear")) form.reset();
      this.when(form);
      delete form.dataset.once;
    },

    // --- sending ----------------------------------------------------------------------------------------------------
    submitted(event) {
      const form = event.target.closest("form[data-send]");
      if (!form) return;
      event.preventDefault();
      const body = {};
      for (const each of form.elements) {
        if (!each.name || each.disabled || each.type === "file") continue;
        if (each.type === "radio") {
          if (each.checked) body[each.name] = each.value;
        } else if (each.type === "checkbox" && each.hasAttribute("data-many")) {
          (body[each.name] ??= []).push(...(each.checked ? [each.value] : []));
        } else if (each.type === "checkbox") body[each.name] = each.checked;
        else if (each.type !== "submit" && each.nodeName !== "BUTTON") body[each.name] = each.value;
      }
      const pressed = event.submitter;
      if (pressed?.name) body[pressed.name] = pressed.value;
      form.dataset.once ??= newKey();
      this.send(form, form.dataset.send, form.dataset.method || "POST", body, form.dataset.once, pressed);
    },
    clicked(event) {
      const mode = event.target.closest("[data-mode-to]");
      if (mode) {
        try {
          localStorage.setItem("ferrule-mode", mode.dataset.modeTo);
        } catch {}
        document.documentElement.dataset.mode = mode.dataset.modeTo;
        this.mode();
        return;
      }
      if (event.target.closest("a.skip")) {
        event.preventDefault();
        document.getElementById("main")?.focus();
        return;
      }
      const opener = event.target.closest("[data-open]");
      if (opener) {
        const place = document.getElementById(opener.dataset.open);
        if (place?.nodeName === "DETAILS") place.open = true;
        place?.scrollIntoView({ block: "start", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
        place?.querySelector("input:not([type=hidden]),select,button")?.focus({ preventScroll: true });
        return;
      }
      const puller = event.target.closest("[data-dialog]");
      if (puller) {
        document.getElementById(puller.dataset.dialog)?.showModal();
        return;
      }
      if (event.target.closest("[data-close]") || event.target.nodeName === "DIALOG") {
        event.target.closest("dialog")?.close();
        return;
      }
      const button = event.target.closest("button[data-send]");
      if (!button || (button.type === "submit" && button.form?.dataset.send)) return;
      event.preventDefault();
      if (button.dataset.sure && !button.dataset.asked) {
        button.dataset.asked = "yes";
        button.dataset.before = button.textContent;
        button.textContent = button.dataset.sure;
        setTimeout(() => {
          if (button.dataset.before) button.textContent = button.dataset.before;
          delete button.dataset.asked;
        }, 4000);
        return;
      }
      this.send(button, button.dataset.send, button.dataset.method || "POST", JSON.parse(button.dataset.body || "{}"), newKey(), button);
    },
    async send(from, url, method, body, key, button) {
      if (this.tooSoon(from)) return;
      from.dataset.busy = "yes";
      if (this.told) this.say("");
      this.faults(from, []);
      const said = (button?.getAttribute("aria-label") || button?.dataset.before || button?.textContent || "").trim();
      this.park(key, { url, method, body, said, form: from.nodeName === "FORM" ? this.draftName(from) : null });
      const slow = setTimeout(() => from.hasAttribute("data-each") || button?.setAttribute("aria-disabled", "true"), 150);
      try {
        // One after the other, in the order of the taps, however long the first one takes.
        const turn = this.line.then(() => this.post(url, method, body, key));
        this.line = turn.catch(() => {});
        const answer = await turn;
        this.park(key, null);
        await this.answered(answer, from);
      } finally {
        clearTimeout(slow);
        button?.removeAttribute("aria-disabled");
        delete from.dataset.busy;
      }
    },
    // A form is sent once at a time. A key of the ball pad is a ball each time, save for a finger that bounces; once the
    // page shows the ball that is on its way, the next tap is the next ball.
    tooSoon(from) {
      if (!from.hasAttribute("data-each")) return Boolean(from.dataset.busy);
      const now = performance.now();
      const drawn = this.$refs.desk.dataset.drawn;
      const unseen = from.dataset.busy && from.tappedOn === drawn;
      const bounced = now - (from.tappedAt ?? -Infinity) < (unseen ? 300 : 120);
      from.tappedAt = now;
      from.tappedOn = drawn;
      return bounced;
    },
    async post(url, method, body, key) {
      for (let turn = 0; ; turn++) {
        try {
          const answer = await fetch(url, {
            method,
            headers: { "content-type": "application/json", "idempotency-key": key },
            body: JSON.stringify(body),
          });
          if (turn > 0) this.say("");
          return answer;
        } catch {
          this.say("Not kept yet: no connection. Trying again; nothing is lost.", true);
          await new Promise((go) => setTimeout(go, WAITS[Math.min(turn, WAITS.length - 1)]));
        }
      }
    },
    async answered(answer, from) {
      if (!answer.ok) {
        this.faults(from, await this.refusal(answer));
        if (from.nodeName === "FORM") delete from.dataset.once;
        return;
      }
      let said = {};
      try {
        said = await answer.json();
      } catch {}
      if (from.nodeName === "FORM") this.clean(from);
      if (from.dataset.say) this.say(from.dataset.say);
      const then = from.dataset.then;
      if (then) {
        window.location.assign(then.replace(/\{(\w+)\}/g, (_, name) => encodeURIComponent(said[name])));
        return;
      }
      this.look();
    },
    async refusal(answer) {
      let said = {};
      try {
        said = await answer.json();
      } catch {}
      const faults = said.error?.faults;
      return faults?.length ? faults : [{ where: "", message: said.error?.message || "This could not be done. Reload the page and try again." }];
    },
    // The server tells this page to draw itself anew; if it did not (no socket), ask for it.
    look() {
      const desk = this.$refs.desk;
      const before = desk.dataset.drawn;
      setTimeout(() => {
        if (desk.dataset.drawn === before) window.location.reload();
      }, 4000);
    },
    // What was sent and not answered is kept over a reload and sent again with the same key; a refusal is said, beside
    // its field where there is one, for nobody saw what became of it.
    park(key, what) {
      try {
        const all = JSON.parse(sessionStorage.getItem("ferrule-sending") || "{}");
        if (what) all[key] = what;
        else delete all[key];
        sessionStorage.setItem("ferrule-sending", JSON.stringify(all));
      } catch {}
    },
    async resume() {
      let all = {};
      try {
        all = JSON.parse(sessionStorage.getItem("ferrule-sending") || "{}");
      } catch {}
      for (const [key, { url, method, body, said, form }] of Object.entries(all)) {
        const answer = await this.post(url, method, body, key);
        this.park(key, null);
        const forms = [...this.$refs.desk.querySelectorAll("form[data-send]")].filter((each) => this.draftName(each) === form);
        if (answer.ok) {
          for (const each of forms) this.clean(each);
          this.look();
          continue;
        }
        const faults = await this.refusal(answer);
        for (const each of forms) this.faults(each, faults);
        const why = faults.map(({ where, message }) => this.beside(where, message)).join(" ");
        this.say(`${said ? `“${said}”` : "What was sent last"} was not kept. ${why}`, true);
        this.told = true;
      }
    },

    // --- words ------------------------------------------------------------------------------------------------------
    faults(from, faults) {
      const scope = from.closest("form[data-send], [data-faults]") || this.$refs.desk;
      for (const place of scope.querySelectorAll("[data-fault]")) place.textContent = "";
      for (const each of scope.querySelectorAll("[aria-invalid]")) each.removeAttribute("aria-invalid");
      let first = null;
      const left = [];
      for (const { where, message } of faults) {
        const place = this.shown(scope, `[data-fault="${CSS.escape(where)}"]`);
        if (!place) {
          left.push(message);
          continue;
        }
        place.textContent = this.beside(where, message);
        const field = this.shown(scope, `[name="${CSS.escape(where)}"]`);
        field?.setAttribute("aria-invalid", "true");
        first ??= field;
      }
      if (left.length) {
        const place = scope.querySelector('[data-fault=""]');
        if (place) place.textContent = left.join(" ");
        else this.say(left.join(" "));
      }
      first?.focus();
    },
    // Of parts that matter only for some answers the one that is open now.
    shown(scope, selector) {
      const all = [...scope.querySelectorAll(selector)];
      return all.find((each) => !each.closest("[hidden]")) ?? all[0];
    },
    // Beside its field a message need not name the field again.
    beside(where, message) {
      const short = message.startsWith(`${where}: `) ? message.slice(where.length + 2) : message;
      return short.charAt(0).toUpperCase() + short.slice(1);
    },
    // Parts of a form that matter only for some answers: data-when="device=new|3 measure=wrist.flexion_deg".
    when(form) {
      for (const part of form.querySelectorAll("[data-when]")) {
        const holds = part.dataset.when.split(" ").every((rule) => {
          const [name, values] = rule.split("=");
          const field = form.elements[name];
          return field && values.split("|").includes(field.value);
        });
        part.hidden = !holds;
        for (const each of part.querySelectorAll("input,select,textarea")) each.disabled = !holds;
      }
    },
    say(words, stays = false) {
      const line = document.getElementById("word-line");
      if (!line) return;
      clearTimeout(this.silence);
      this.told = false;
      line.textContent = words;
      line.classList.toggle("on", Boolean(words));
      line.classList.toggle("high", Boolean(document.querySelector(".float")));
      if (words && !stays) this.silence = setTimeout(() => line.classList.remove("on"), 5000);
    },
    mode() {
      const mode = document.documentElement.dataset.mode || "paper";
      for (const each of this.$refs.desk.querySelectorAll("[data-mode-to]")) each.setAttribute("aria-pressed", String(each.dataset.modeTo === mode));
    },

    // --- choices that act at once, and files ------------------------------------------------------------------------
    changed(event) {
      const input = event.target;
      if (input.matches("input[type=file][data-drop]")) {
        this.files(input.closest(".drop"), [...input.files]);
        input.value = "";
      } else if (input.matches("[data-go]")) {
        window.location.assign(input.value);
      } else if (input.matches("[data-at-once]")) {
        input.form?.requestSubmit();
      }
    },
    dragged(event, name) {
      const place = event.target.closest?.(".drop");
      if (!place) return;
      event.preventDefault();
      place.classList.toggle("over", name === "dragover");
      if (name === "drop") this.files(place, [...event.dataTransfer.files]);
    },
    async files(place, files) {
      const list = document.getElementById(place.dataset.list);
      const to = place.querySelector("input").dataset.drop;
      if (files.length === 2 && (await this.pair(to, list, ...files))) return;
      const jobs = files.map((file) => ({ file, row: this.row(list, file.name) }));
      for (const { file, row } of jobs) await this.upload(to, file, row);
    },
    // Some devices write forearm and hand into a file each. Two files that are one recording go in together; which is the
    // hand's is asked where neither says. Gives false when each of them is something by itself.
    async pair(to, list, one, other, hand = null, row = null) {
      if (one.size + other.size > MOST_BYTES || ![one, other].every((file) => /\.(csv|txt|tsv)$/i.test(file.name))) return false;
      const asked = new URLSearchParams({ one: one.name, other: other.name, first_bytes: one.size, ...(hand && { hand }) });
      let said = {};
      try {
        const answer = await fetch(`${to}/pair?${asked}`, { method: "POST", body: new Blob([one, other]), headers: { "idempotency-key": newKey() } });
        said = await answer.json();
        if (answer.ok && said.state === "no_pair") return false;
      } catch {
        said.error = { message: "The connection was lost on the way. Nothing was kept of them; drop both files again." };
      }
      const line = row ?? this.row(list, `${one.name} and ${other.name}`);
      line.bar.remove();
      line.words.textContent = said.error?.message ?? "";
      line.note.textContent = said.error ? "not taken" : said.state === "which" ? "asks one thing" : said.recording.asks ? "kept; asks what is in it" : "kept";
      if (said.state === "kept") {
        line.row.dataset.done = "yes";
        this.look();
      }
      if (said.state !== "which") return true;
      const choice = document.createElement("div");
      choice.className = "tools";
      const question = document.createElement("span");
      question.textContent = "Which of the two sat on the hand?";
      choice.append(question);
      for (const [which, file] of Object.entries({ one, other })) {
        const tap = document.createElement("button");
        tap.type = "button";
        tap.className = "a small";
        tap.textContent = file.name;
        tap.addEventListener("click", () => {
          choice.remove();
          this.pair(to, list, one, other, which, line);
        });
        choice.append(tap);
      }
      line.row.append(choice);
      return true;
    },
    row(list, name) {
      const row = document.createElement("li");
      row.className = "sending";
      const title = document.createElement("b");
      title.textContent = name;
      const note = document.createElement("span");
      note.textContent = "waiting";
      const bar = document.createElement("progress");
      bar.max = 1;
      bar.value = 0;
      bar.setAttribute("aria-label", `${name}: sending`);
      const words = document.createElement("p");
      words.className = "fault";
      row.append(title, note, bar, words);
      list.prepend(row);
      return { row, note, bar, words };
    },
    upload(url, file, { row, note, bar, words }) {
      if (file.size > MOST_BYTES) {
        // The server would say the same, but only after the file is on its way.
        bar.remove();
        note.textContent = "not taken";
        words.textContent = `Expected at most ${MOST_BYTES / 1e6} MB, got ${Math.round(file.size / 1e6)} MB: a video or another kind of file. Choose a recording.`;
        return Promise.resolve();
      }
      return new Promise((done) => {
        const request = new XMLHttpRequest();
        request.open("POST", `${url}?name=${encodeURIComponent(file.name)}`);
        request.setRequestHeader("content-type", "application/octet-stream");
        request.setRequestHeader("idempotency-key", newKey());
        request.upload.onprogress = (e) => {
          bar.value = e.loaded / Math.max(1, e.total);
          note.textContent = e.loaded < e.total ? `${Math.round(bar.value * 100)} %` : "being read";
        };
        request.onload = () => {
          let said = {};
          try {
            said = JSON.parse(request.responseText);
          } catch {}
          bar.remove();
          if (request.status < 300) {
            note.textContent = request.status === 200 ? "already here" : said.asks ? "kept; asks what is in it" : "kept";
            row.dataset.done = "yes";
            this.look();
          } else {
            note.textContent = "not taken";
            words.textContent = said.error?.message || "This file could not be read.";
          }
          done();
        };
        request.onerror = () => {
          bar.remove();
          note.textContent = "not taken";
          words.textContent = "The connection was lost on the way. Nothing was kept of it; drop the file again.";
          done();
        };
        request.send(file);
      });
    },
  },
};
