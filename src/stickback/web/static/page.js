// Keys, taps in order, speaking time and focus. Every page works without it.
"use strict";

const form = document.querySelector("form[data-manner]");
const typing = () => document.activeElement?.matches("input[type=text], input[type=search], textarea, select");

// What was typed is not sent by Enter, which would say `guess`: it leads to where one says how sure one is.
form?.querySelector("#given")?.addEventListener("keydown", (event) => {
  const sure = form.querySelector(".how button");
  if (event.key !== "Enter" || event.shiftKey || event.isComposing || !sure) return;
  event.preventDefault();
  sure.focus();
});

// A letter or digit picks what carries it; g, t and s say how sure and send; Enter goes on from a mark.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || typing()) return;
  const key = event.key.toLowerCase();
  const option = form?.querySelector(`input[name=given][value="${CSS.escape(key)}"]`);
  const sure = form && [...form.querySelectorAll("button[name=confidence]")].find((each) => each.value[0] === key);
  const next = document.getElementById("next");
  if (option) option.click();
  else if (sure) sure.click();
  else if (next && (event.key === "Enter" || event.key === " ") && !document.activeElement.matches("a, button")) next.click();
  else return;
  event.preventDefault();
});

// Steps are tapped in their order; tapped once more, a step is taken back.
const steps = form?.dataset.manner === "order" ? [...form.querySelectorAll("[data-letter]")] : [];
if (steps.length) {
  const field = form.querySelector("#given");
  const order = () => field.value.split(" ").filter(Boolean);
  const show = () => steps.forEach((step) => {
    const place = order().indexOf(step.dataset.letter) + 1;
    step.querySelector("button").setAttribute("aria-pressed", String(place > 0));
    step.querySelector("b").textContent = place || "";
  });
  for (const step of steps) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "step";
    button.append(document.createElement("b"), ...step.childNodes);
    step.append(button);
    button.addEventListener("click", () => {
      const letter = step.dataset.letter, had = order();
      field.value = (had.includes(letter) ? had.filter((each) => each !== letter) : [...had, letter]).join(" ");
      show();
    });
  }
  form.classList.add("tapped");
  field.type = "hidden";
  show();
}

// A figure is touched together, where fingers are: figures on the left, which go where the cursor is, as those of a
// keyboard do; units and sides on the right, which go behind all of it.
const figure = matchMedia("(pointer: coarse)").matches ? form?.querySelector("[data-pad]") : null;
if (figure) {
  const pad = document.createElement("div"), words = figure.dataset.pad.split("|").filter(Boolean);
  pad.className = "pad";
  figure.inputMode = "none";
  figure.setSelectionRange(figure.value.length, figure.value.length);
  const type = {
    "⌫": () => {
      const cursor = figure.selectionEnd, kept = figure.value.slice(0, cursor).replace(/\s?(\p{L}[^\d]*|.)$/u, "");
      figure.setRangeText("", Math.min(kept.length, figure.selectionStart), cursor, "end");
    },
    "−": () => (figure.value = figure.value.startsWith("−") ? figure.value.slice(1) : `−${figure.value}`),
    word: (key) => (figure.value += figure.value.endsWith(` ${key}`) ? "" : ` ${key}`),
    figure: (key) => figure.setRangeText(key, figure.selectionStart, figure.selectionEnd, "end"),
  };
  const columns = [["7", "4", "1", "."], ["8", "5", "2", "0"], ["9", "6", "3", "⌫"], [...words.slice(0, 3), ...(words.length < 4 ? ["−"] : words.slice(3))]];
  columns.forEach((keys, column) => keys.forEach((key, row) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key === "deg" ? "°" : key;
    button.style.gridArea = `${row + 1} / ${column + 1}`;
    if (key === "⌫") button.setAttribute("aria-label", "take the last away");
    button.addEventListener("click", () => (type[key] ?? (words.includes(key) ? type.word : type.figure))(key));
    pad.append(button);
  }));
  figure.after(pad);
}

// What is heard is spoken where the student wants it and the browser has a voice; else it stands there for as long as it
// takes to say, and is then taken away. `say again` brings it back.
const heard = form?.querySelector("[data-heard]");
if (heard) {
  const field = form.querySelector("#given");
  const button = (text, does) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "plain";
    made.textContent = text;
    made.addEventListener("click", does);
    heard.after(made);
    return made;
  };
  const show = () => {
    heard.classList.remove("gone");
    setTimeout(() => heard.classList.add("gone"), 1000 * Number(heard.dataset.heard));
  };
  const hear = () => (heard.dataset.speak && globalThis.speechSynthesis?.getVoices().length ? speak(heard, show) : show());
  const again = button("say again", () => {
    if (!field.value.toLowerCase().startsWith("say again")) field.value = `say again: ${field.value}`;
    hear();
    field.focus();
  });
  heard.setAttribute("aria-live", "off");
  if (heard.dataset.speak && globalThis.speechSynthesis) {
    // Voices come a little after the page; and a browser speaks only once the page was touched.
    heard.classList.add("gone");
    again.hidden = true;
    const listen = button("listen", () => {
      listen.remove();
      again.hidden = false;
      hear();
      field.focus();
    });
  } else show();
}

// One voice for each transmission, slower than a browser speaks, behind the noise of a radio.
function speak(heard, failed) {
  const { speak: said, pace, noise, clipped, language } = heard.dataset;
  const usual = 180; // words a minute of most voices
  const hiss = noise === "none" ? null : static_(noise === "heavy" ? 0.12 : 0.04);
  const voices = speechSynthesis.getVoices().filter((each) => each.lang.replace("_", "-").startsWith(language.slice(0, 2)));
  const lines = said.split("\n");
  speechSynthesis.cancel();
  lines.forEach((line, place) => {
    // Whose switch is pressed late loses the beginning: here the first word, since a voice cannot be cut.
    const one = new SpeechSynthesisUtterance(clipped ? line.replace(/^\S+\s+/, "") : line);
    one.lang = language;
    one.rate = Number(pace) / usual;
    if (voices.length) one.voice = voices[place % voices.length];
    if (place === lines.length - 1) one.addEventListener("end", () => hiss?.close());
    one.addEventListener("error", () => {
      hiss?.close();
      failed();
    }, { once: true });
    speechSynthesis.speak(one);
  });
}

function static_(loud) {
  const air = new AudioContext(), rate = air.sampleRate, sound = air.createBuffer(1, 2 * rate, rate);
  const samples = sound.getChannelData(0);
  for (let at = 0; at < samples.length; at++) samples[at] = 2 * Math.random() - 1;
  const source = new AudioBufferSourceNode(air, { buffer: sound, loop: true });
  const band = new BiquadFilterNode(air, { type: "bandpass", frequency: 1500, Q: 0.7 });
  source.connect(band).connect(new GainNode(air, { gain: loud })).connect(air.destination);
  source.start();
  return air;
}

// A form is sent once: a second tap while the first is on its way does nothing.
form?.addEventListener("submit", (event) => {
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
});
addEventListener("pageshow", () => form && delete form.dataset.sent);
document.getElementById("mark")?.focus();

// The key of a device signs in, or is kept, where the browser has such keys; what it signs goes with its form.
const keys = globalThis.PublicKeyCredential?.parseRequestOptionsFromJSON ? document.querySelectorAll("[data-key]") : [];
for (const place of keys) {
  const form = place.closest("form"), [button, said] = place.querySelectorAll("button, p");
  place.hidden = false;
  form.querySelector("[data-without]")?.remove();
  button.addEventListener("click", async () => {
    button.disabled = true;
    said.textContent = "";
    try {
      const token = new URLSearchParams({ token: form.elements.token?.value ?? "" });
      const asked = await (await fetch(place.dataset.key, { method: "POST", body: token })).json();
      const key = place.dataset.anew
        ? await navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(asked) })
        : await navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(asked) });
      form.elements.key.value = JSON.stringify(key.toJSON());
      form.submit();
    } catch {
      said.textContent = place.dataset.anew ? "No key was kept. There may be one on this device already." : "No key was used. Try again, or sign in with the password.";
    }
    button.disabled = false;
  });
}

// A page of the course is loaded again when one of its files has changed; it stays where it was.
const stamped = document.querySelector("[data-stamp]");
if (stamped) {
  const look = async () => {
    try {
      const answer = await fetch("/course/stamp");
      if (answer.ok && (await answer.text()) !== stamped.dataset.stamp) return location.reload();
    } catch {
      // The server is away for a moment.
    }
    setTimeout(look, 1000);
  };
  setTimeout(look, 1000);
}
