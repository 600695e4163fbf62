// Reading aloud, where the device itself can: only with a voice that lives on the device, since any
// other would send the text away.
const Aloud = (() => {
  "use strict";

  const speech = typeof window === "object" && window.speechSynthesis && window.SpeechSynthesisUtterance ? window.speechSynthesis : null;

  function voice() {
    if (!speech) return null;
    const local = speech.getVoices().filter(one => one.localService && /^en\b/i.test(one.lang));
    return local.filter(one => /^en.GB/i.test(one.lang))[0] || local[0] || null;
  }

  function read(text) {
    const chosen = voice();
    if (!chosen) return;
    const words = new window.SpeechSynthesisUtterance(text);
    words.voice = chosen;
    words.lang = chosen.lang;
    speech.cancel();
    speech.speak(words);
  }

  // Some browsers only look for their voices once they are asked.
  voice();

  function hush() { if (speech) speech.cancel(); }

  return { can: () => voice() !== null, read, hush };
})();
