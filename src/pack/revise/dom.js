// Making the page out of elements: no markup is ever built from strings.
const Dom = (() => {
  "use strict";

  const SVG = "http://www.w3.org/2000/svg";
  const MATHML = "http://www.w3.org/1998/Math/MathML";
  const TAGS = new Set(("em strong code sub sup br math mrow mi mn mo mtext mspace mfrac msqrt mroot msup msub msubsup " +
    "munder mover munderover mtable mtr mtd mstyle mpadded").split(" "));
  const ATTRIBUTES = new Set(("display mathvariant stretchy fence separator form accent accentunder dir alttext " +
    "linethickness width lspace rspace columnalign").split(" "));
  const PICTURE = /^data:image\/(png|jpeg|gif|webp|svg\+xml)[;,]/;

  // An element. `props`: `class`, `text`, `on` (listeners), `checked` and `value` as properties,
  // anything else as an attribute; null leaves an attribute out.
  function make(tag, props, children) {
    return fill(document.createElement(tag), props || {}, children || []);
  }

  function svg(tag, props, children) {
    return fill(document.createElementNS(SVG, tag), props || {}, children || []);
  }

  function fill(element, props, children) {
    Object.keys(props).forEach(name => {
      const value = props[name];
      if (value === null || value === undefined || value === false) return;
      if (name === "text") element.textContent = value;
      else if (name === "on") Object.keys(value).forEach(event => { element.addEventListener(event, value[event]); });
      else if (name === "checked" || name === "value") element[name] = value;
      else element.setAttribute(name, value === true ? "" : value);
    });
    children.forEach(child => {
      if (child) element.appendChild(typeof child === "string" ? document.createTextNode(child) : child);
    });
    return element;
  }

  function clear(element) {
    while (element.firstChild) element.removeChild(element.firstChild);
  }

  function button(text, press, kind) {
    return make("button", { type: "button", class: kind || "plain", text, on: { click: press } });
  }

  // Card text in an element of its own that finds its own direction.
  function written(tag, props, item) {
    const element = make(tag, Object.assign({ dir: "auto" }, props));
    if (item.html.indexOf("<math") >= 0 && !drawsMaths()) element.textContent = item.text;
    else copy(new DOMParser().parseFromString(item.html, "text/html").body, element);
    return element;
  }

  // What stands in the list above is copied, of everything else only its text.
  function copy(from, to) {
    Array.prototype.forEach.call(from.childNodes, node => {
      if (node.nodeType === 3) {
        to.appendChild(document.createTextNode(node.data));
      } else if (node.nodeType === 1 && TAGS.has(node.localName)) {
        const made = document.createElementNS(node.namespaceURI, node.localName);
        if (node.namespaceURI === MATHML) copyAttributes(node, made);
        // As large as on paper: fractions in a line would be set in small letters.
        if (node.localName === "math") made.setAttribute("displaystyle", "true");
        copy(node, made);
        to.appendChild(made);
      } else if (node.nodeType === 1) {
        to.appendChild(document.createTextNode(node.textContent));
      }
    });
  }

  function copyAttributes(from, to) {
    Array.prototype.forEach.call(from.attributes, attribute => {
      if (ATTRIBUTES.has(attribute.name)) to.setAttribute(attribute.name, attribute.value);
    });
  }

  // Whether the browser sets MathML: a fraction stands higher than its line.
  let maths = null;
  function drawsMaths() {
    if (maths === null) {
      const box = make("p", { class: "unseen" });
      const part = (tag, children) => fill(document.createElementNS(MATHML, tag), {}, children);
      const top = part("mn", ["1"]), bottom = part("mn", ["1"]);
      box.appendChild(part("math", [part("mfrac", [top, bottom])]));
      document.body.appendChild(box);
      maths = bottom.getBoundingClientRect().top > top.getBoundingClientRect().top;
      document.body.removeChild(box);
    }
    return maths;
  }

  function picture(given) {
    if (!PICTURE.test(given.src)) return null;
    return make("img", { class: "picture", src: given.src, alt: given.alt, decoding: "async" });
  }

  return { make, svg, clear, button, written, picture };
})();
