// The inline markup of card text as the page gets it: safe HTML and plain text. For samples only;
// packs are made by the program itself, which covers all of the maths that cards may use.

const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

export function escapeHtml(text) {
  return text.replace(/[&<>"]/g, (c) => ESCAPES[c]);
}

/** Card text as { html, text }. */
export function inline(written) {
  const parts = String(written).split(/(\$[^$\s](?:[^$]*[^$\s])?\$(?!\d))/);
  return {
    html: parts.map((part, at) => (at % 2 ? maths(part.slice(1, -1)).html : marks(part, true))).join(""),
    text: parts.map((part, at) => (at % 2 ? maths(part.slice(1, -1)).text : marks(part, false))).join(""),
  };
}

function marks(text, tags) {
  const rules = [
    [/`([^`]+)`/g, "code", "$1"],
    [/\*\*([^*]+)\*\*/g, "strong", "$1"],
    [/(?<![\d*])\*([^*]+)\*/g, "em", "$1"],
    [/~([^~\s]+)~/g, "sub", "$1"],
    [/\^([^^\s]+)\^/g, "sup", "^$1"],
  ];
  return rules.reduce(
    (out, [pattern, tag, plain]) => out.replace(pattern, tags ? `<${tag}>$1</${tag}>` : plain),
    tags ? escapeHtml(text) : text,
  );
}

const SYMBOLS = { times: "×", div: "÷", cdot: "·", pi: "π", rho: "ρ", Delta: "Δ", approx: "≈" };

function maths(tex) {
  const reader = { tex, at: 0 };
  const { html, text } = row(reader);
  return { html: `<math>${html}</math>`, text: text.trim() };
}

function row(reader, end) {
  let html = "";
  let text = "";
  while (reader.at < reader.tex.length && reader.tex[reader.at] !== end) {
    let item = atom(reader);
    while (reader.tex[reader.at] === "^" || reader.tex[reader.at] === "_") {
      const raised = reader.tex[reader.at++] === "^";
      const script = atom(reader);
      const tag = raised ? "msup" : "msub";
      item = { html: `<${tag}>${item.html}${script.html}</${tag}>`, text: `${item.text}${raised ? "^" : ""}${script.text}` };
    }
    html += item.html;
    text += item.text;
  }
  reader.at += 1;
  return { html, text };
}

function group(reader) {
  reader.at += 1;
  const inner = row(reader, "}");
  return { html: `<mrow>${inner.html}</mrow>`, text: inner.text };
}

function atom(reader) {
  const rest = reader.tex.slice(reader.at);
  if (rest[0] === "{") return group(reader);
  const command = /^\\([a-zA-Z]+)/.exec(rest);
  if (command) {
    reader.at += command[0].length;
    return commanded(command[1], reader);
  }
  const number = /^\d+(?:[.,]\d+)*/.exec(rest);
  const token = number ? number[0] : rest[0];
  reader.at += token.length;
  if (number) return { html: `<mn>${token}</mn>`, text: token };
  if (/\s/.test(token)) return { html: "", text: " " };
  if (/[a-zA-Z]/.test(token)) return { html: `<mi>${token}</mi>`, text: token };
  return { html: `<mo>${escapeHtml(token === "-" ? "−" : token)}</mo>`, text: token };
}

function commanded(name, reader) {
  if (name === "frac") {
    const [top, bottom] = [group(reader), group(reader)];
    const held = (side) => (/\s/.test(side.text.trim()) ? `(${side.text})` : side.text);
    return { html: `<mfrac>${top.html}${bottom.html}</mfrac>`, text: `${held(top)}/${held(bottom)}` };
  }
  if (name === "text") {
    const end = reader.tex.indexOf("}", reader.at);
    const words = reader.tex.slice(reader.at + 1, end);
    reader.at = end + 1;
    return { html: `<mtext>${escapeHtml(words)}</mtext>`, text: words };
  }
  if (!SYMBOLS[name]) throw new Error(`\\${name} is not in the samples' maths`);
  return { html: `<mo>${SYMBOLS[name]}</mo>`, text: SYMBOLS[name] };
}
