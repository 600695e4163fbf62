// Typed answers against the wordings on the card. Case, punctuation, articles, hyphens, plurals,
// British and American spelling are wording; numbers are compared as values (14, fourteen, 14.0),
// quantities with their units (1.5 km, 1500 metres). Nothing else is guessed at: what does not agree
// is shown beside the card for the pupil to judge.
const Marking = (() => {
  "use strict";

  // Lines of schema/units.txt: words | symbols | dimension | size in SI units | prefixes | zero.
  const UNITS = [
    "metre metres | m | L | 1 | si", "foot feet | ft | L | 0.3048 |", "yard yards | yd yds | L | 0.9144 |",
    "mile miles | mi | L | 1609.344 |", "nautical-mile nautical-miles | nmi | L | 1852 |",
    "inch inches | | L | 0.0254 |", "light-year light-years | ly | L | 9460730472580800 |",
    "hectare hectares | ha | L2 | 10000 |", "acre acres | ac | L2 | 4046.8564224 |",
    "litre litres | l L | L3 | 0.001 | si", "| cc | L3 | 0.000001 |", "gram grams gramme grammes | g | M | 0.001 | si",
    "tonne tonnes | t | M | 1000 | si", "pound pounds | lb lbs | M | 0.45359237 |",
    "ounce ounces | oz | M | 0.028349523125 |", "second seconds sec secs | s | T | 1 | si",
    "minute minutes | min mins | T | 60 |", "hour hours | h hr hrs | T | 3600 |", "day days | d | T | 86400 |",
    "week weeks | wk wks | T | 604800 |", "month months | | Y | 1 |", "year years | yr yrs | Y | 12 |",
    "decade decades | | Y | 120 |", "century centuries | | Y | 1200 |",
    "millennium millennia millenniums | | Y | 12000 |", "knot knots | kn kt kts | L T-1 | 1852/3600 |",
    "| mph | L T-1 | 0.44704 |", "| kph kmh | L T-1 | 1000/3600 |", "newton newtons | N | M L T-2 | 1 | si",
    "pascal pascals | Pa | M L-1 T-2 | 1 | si", "bars | bar | M L-1 T-2 | 100000 | si",
    "mbs | mb mbar | M L-1 T-2 | 100 |", "joule joules | J | M L2 T-2 | 1 | si",
    "calorie calories | cal | M L2 T-2 | 4.184 |", "kilocalorie kilocalories | kcal | M L2 T-2 | 4184 |",
    "watt watts | W | M L2 T-3 | 1 | si", "watt-hour watt-hours | Wh | M L2 T-2 | 3600 | si",
    "hertz | Hz | T-1 | 1 | si", "becquerel becquerels | Bq | T-1 | 1 | si",
    "sievert sieverts | Sv | L2 T-2 | 1 | si", "ampere amperes amp amps | A | I | 1 | si",
    "volt volts | V | M L2 T-3 I-1 | 1 | si", "ohm ohms | Ω | M L2 T-3 I-2 | 1 | si",
    "coulomb coulombs | C | T I | 1 | si", "tesla teslas | T | M T-2 I-1 | 1 | si", "kelvin kelvins | K | K | 1 | si",
    "degree-celsius degrees-celsius celsius degree-centigrade degrees-centigrade centigrade | °C | K | 1 | | 273.15",
    "degree-fahrenheit degrees-fahrenheit fahrenheit | °F | K | 5/9 | | 459.67", "mole moles | mol | N | 1 | si",
    "degree degrees | ° | angle | 1 |", "bits | bit | bit | 1 | si", "byte bytes | B | bit | 8 | si",
    "decibel decibels | dB | bel | 1 |", "percent per-cent | % | | 0.01 |",
    "percentage-point percentage-points | | pp | 1 |",
    "parts-per-million | ppm | | 0.000001 |", "sterling | £ | GBP | 1 |", "dollar dollars | $ | USD | 1 |",
    "euro euros | € | EUR | 1 |", "penny pence | | GBP | 0.01 |"
  ];
  const PREFIXES = [["", "", 0], ["nano", "n", -9], ["micro", "μ", -6], ["milli", "m", -3], ["centi", "c", -2],
    ["deci", "d", -1], ["hecto", "h", 2], ["kilo", "k", 3], ["mega", "M", 6], ["giga", "G", 9], ["tera", "T", 12]];

  // Lines of schema/spelling.txt: the beginning of a word in American spelling and in British.
  const SPELLINGS = ["aging ageing", "aluminum aluminium", "analyz analys", "artifact artefact", "behavior behaviour",
    "catalyz catalys", "center centre", "color colour", "defense defence", "favor favour", "fiber fibre",
    "flavor flavour", "gray grey", "harbor harbour", "hemo haemo", "honor honour", "humor humour", "labor labour",
    "license licence", "liter litre", "meter metre", "modeling modelling", "mold mould", "neighbor neighbour",
    "odor odour", "offense offence", "paleo palaeo", "plow plough", "program programme", "sulfat sulphat",
    "sulfid sulphid", "sulfur sulphur", "theater theatre", "traveled travelled", "traveling travelling",
    "tumor tumour", "tunneling tunnelling", "vapor vapour"
  ].map(pair => pair.split(" "));

  const SMALL = ("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen " +
    "sixteen seventeen eighteen nineteen").split(" ");
  const TENS = "- - twenty thirty forty fifty sixty seventy eighty ninety".split(" ");
  const SCALES = { thousand: 1e3, million: 1e6, mn: 1e6, billion: 1e9, bn: 1e9, trillion: 1e12, tn: 1e12 };
  const PARTS = { half: 2, halve: 2, third: 3, quarter: 4, fifth: 5, eighth: 8, tenth: 10 };
  const ORDINALS = ("first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth").split(" ");
  const FRACTIONS = { "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅕": 1 / 5, "⅛": 1 / 8 };
  const RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹";
  const LOWERED = "₀₁₂₃₄₅₆₇₈₉";
  const LETTER = "A-Za-z\\u00c0-\\u00d6\\u00d8-\\u00f6\\u00f8-\\u02ff\\u0300-\\u1fff\\u2c00-\\ufffd";
  const PIECE = new RegExp("\\d{1,3}(?:,\\d{3})+(?!\\d)(?:\\.\\d+)?|[1-9]\\d{0,2}(?: \\d{3})+(?![\\d" + LETTER +
    "])(?:\\.\\d+)?|\\d+(?:\\.\\d+)?|[" + LETTER + "](?:[" + LETTER + "0-9]|'(?=[" + LETTER + "]))*|\\S", "g");
  const IS_WORD = new RegExp("^[" + LETTER + "]");

  // As a reader reads it: no soft hyphens or bidi marks, straight quotes, one dash, ^ before raised digits.
  function plain(text) {
    return text.normalize("NFC")
      .replace(/[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff]/g, "")
      .replace(/[‘’‛′`ʼ]/g, "'").replace(/[“”„″«»]/g, '"')
      .replace(/[‐‑‒–−﹣－—―]/g, "-").replace(/[⁄∕]/g, "/").replace(/[⋅∙]/g, "·")
      .replace(/µ/g, "μ").replace(/\u2126/g, "Ω").replace(/℃/g, "°C").replace(/℉/g, "°F").replace(/º/g, "°")
      .replace(/⁻?[⁰¹²³⁴-⁹]+/g, raised => "^" + raised.replace("⁻", "-").replace(/[⁰¹²³⁴-⁹]/g, c => RAISED.indexOf(c)))
      .replace(/[₀-₉]/g, c => LOWERED.indexOf(c))
      .replace(/(^|\D)0(\d:\d\d)/g, "$1$2")
      .replace(/\s+/g, " ").trim();
  }

  function lex(text) {
    const out = [];
    let found;
    PIECE.lastIndex = 0;
    while ((found = PIECE.exec(text))) {
      const piece = found[0];
      const at = found.index;
      const digits = /^\d/.test(piece);
      out.push({
        text: piece, low: piece.toLowerCase(), tight: at > 0 && text[at - 1] !== " ",
        // Digits that begin with nought (a grid reference, a bearing) are a name, not a value.
        value: digits && !/^0\d/.test(piece) ? Number(piece.replace(/[, ]/g, "")) : null,
        word: IS_WORD.test(piece)
      });
    }
    return out;
  }

  function readLine(line) {
    const columns = line.split("|").map(column => column.trim());
    const dimension = {};
    columns[2].split(" ").filter(Boolean).forEach(part => {
      const base = /^([A-Za-z]+)(-?\d+)?$/.exec(part);
      dimension[base[1]] = Number(base[2] || 1);
    });
    const size = columns[3].split("/").map(Number);
    return {
      words: columns[0].split(" "), symbols: columns[1].split(" ").filter(Boolean), dimension, size: size[0] / (size[1] || 1),
      prefixed: columns[4] === "si", zero: Number(columns[5] || 0)
    };
  }

  const table = (() => {
    const words = new Map(), symbols = new Map(), lowered = new Map();
    const put = (map, name, unit) => { if (name && !map.has(name)) map.set(name, unit); };
    const lines = UNITS.map(readLine);
    // Names of their own come before prefixed ones: kt is a knot, not a thousand tonnes.
    PREFIXES.forEach(prefix => lines.forEach(line => {
      if (prefix[0] && !line.prefixed) return;
      const unit = { dimension: line.dimension, size: line.size * Math.pow(10, prefix[2]), zero: line.zero };
      line.words.forEach(name => put(words, name && prefix[0] + name, unit));
      line.symbols.forEach(name => {
        put(symbols, name && prefix[1] + name, unit);
        const low = name && (prefix[1] + name).toLowerCase();
        // KM can only be km; but MW could be mW.
        if (low) lowered.set(low, lowered.has(low) ? null : unit);
      });
    }));
    return { words, symbols, lowered };
  })();

  function power(unit, to) {
    const dimension = {};
    Object.keys(unit.dimension).forEach(base => { dimension[base] = unit.dimension[base] * to; });
    return { dimension, size: Math.pow(unit.size, to), zero: to === 1 ? unit.zero : 0 };
  }

  function times(one, other) {
    const dimension = Object.assign({}, one.dimension);
    Object.keys(other.dimension).forEach(base => { dimension[base] = (dimension[base] || 0) + other.dimension[base]; });
    return { dimension, size: one.size * other.size, zero: 0 };
  }

  function nameOf(unit) {
    return Object.keys(unit.dimension).filter(base => unit.dimension[base]).sort()
      .map(base => base + unit.dimension[base]).join("");
  }

  // A unit by its words (the longest first) or its symbol: { unit, len }.
  function named(pieces, at) {
    const words = [];
    let best = null;
    for (let next = at; next < pieces.length && words.length < 3; next += 1) {
      if (pieces[next].text === "-" && words.length) continue;
      if (!pieces[next].word) break;
      words.push(oneSpelling(pieces[next].low));
      const unit = table.words.get(words.join("-").replace(/^(degrees?)-c$/, "$1-celsius").replace(/^(degrees?)-f$/, "$1-fahrenheit"));
      if (unit) best = { unit, len: next - at + 1 };
    }
    return best;
  }

  function symbol(pieces, at) {
    const text = pieces[at].text;
    if (text === "°" && pieces[at + 1] && /^[CF]$/i.test(pieces[at + 1].text)) {
      return { unit: table.symbols.get("°" + pieces[at + 1].text.toUpperCase()), len: 2 };
    }
    const known = table.symbols.get(text) || table.lowered.get(text.toLowerCase());
    if (known) return { unit: known, len: 1 };
    const raised = /^(.*[A-Za-z])([23])$/.exec(text);
    const base = raised && table.symbols.get(raised[1]);
    return base ? { unit: power(base, Number(raised[2])), len: 1 } : null;
  }

  function exponent(pieces, at) {
    if (!pieces[at] || pieces[at].text !== "^") return null;
    const minus = pieces[at + 1] && pieces[at + 1].text === "-";
    const digits = pieces[at + (minus ? 2 : 1)];
    return digits && digits.value !== null ? { value: minus ? -digits.value : digits.value, len: minus ? 3 : 2 } : null;
  }

  function factor(pieces, at) {
    if (at >= pieces.length) return null;
    const before = { square: 2, sq: 2, cubic: 3 }[pieces[at].low] || 1;
    const from = before > 1 ? at + 1 : at;
    const found = from < pieces.length ? named(pieces, from) || symbol(pieces, from) : null;
    if (!found) return null;
    let len = found.len + from - at;
    let to = before;
    const raised = exponent(pieces, at + len);
    const after = pieces[at + len] && { squared: 2, cubed: 3 }[pieces[at + len].low];
    if (raised) {
      to = raised.value;
      len += raised.len;
    } else if (after && before === 1) {
      to = after;
      len += 1;
    }
    return { unit: power(found.unit, to), len };
  }

  // The unit that begins at piece `at`, with all its factors: km/h, metres per second, m s^-1.
  function unitAt(pieces, at) {
    const first = factor(pieces, at);
    if (!first) return null;
    let unit = first.unit;
    let len = first.len;
    for (;;) {
      const joint = pieces[at + len];
      if (!joint) break;
      const under = joint.low === "per" || joint.text === "/" || (joint.low === "a" || joint.low === "an");
      const over = joint.text === "·";
      const raised = !under && !over && exponent(pieces, at + len + 1);
      const next = under || over ? factor(pieces, at + len + 1) : raised ? factor(pieces, at + len) : null;
      if (!next) break;
      unit = times(unit, under ? power(next.unit, -1) : next.unit);
      len += next.len + (under || over ? 1 : 0);
    }
    return { unit, len };
  }

  // The number that begins at piece `at`, in digits or words: { value, len }.
  function numberAt(pieces, at) {
    const first = pieces[at];
    if (first.text === "-" || first.low === "minus") {
      const before = pieces[at - 1];
      const joins = first.text === "-" && before && (first.tight || before.value !== null);
      const found = !joins && pieces[at + 1] && pieces[at + 1].value !== null ? inDigits(pieces, at + 1) : null;
      return found && { value: -found.value, len: found.len + 1 };
    }
    const found = first.value !== null || FRACTIONS[first.text] ? inDigits(pieces, at) : inWords(pieces, at);
    return found && scaled(pieces, at, found);
  }

  function inDigits(pieces, at) {
    const text = step => pieces[at + step] ? pieces[at + step].text : "";
    const value = step => pieces[at + step] ? pieces[at + step].value : null;
    if (FRACTIONS[text(0)]) return { value: FRACTIONS[text(0)], len: 1 };
    if (FRACTIONS[text(1)]) return { value: value(0) + FRACTIONS[text(1)], len: 2 };
    if (text(1) === "/" && value(2)) return { value: value(0) / value(2), len: 3 };
    if (value(1) !== null && text(2) === "/" && value(3) > value(1)) return { value: value(0) + value(1) / value(3), len: 4 };
    const raised = exponent(pieces, at + 1);
    if (raised) return { value: Math.pow(value(0), raised.value), len: 1 + raised.len };
    const tens = /^[×x*]$/.test(text(1)) && value(2) === 10 && exponent(pieces, at + 3);
    if (tens) return { value: value(0) * Math.pow(10, tens.value), len: 3 + tens.len };
    return { value: value(0), len: 1 };
  }

  function inWords(pieces, at) {
    let total = 0, group = 0, len = 0, last = "";
    for (let next = at; next < pieces.length; next += 1) {
      const word = pieces[next].low;
      const small = SMALL.indexOf(word), ten = TENS.indexOf(word);
      if (small > 0 && (last === "" || last === "scale" || (last === "ten" && small < 10))) {
        group += small;
        last = "small";
      } else if (small === 0 && last === "") {
        last = "zero";
      } else if (ten > 1 && (last === "" || last === "scale")) {
        group += ten * 10;
        last = "ten";
      } else if (word === "hundred" && last !== "scale") {
        group = Math.max(1, group) * 100;
        last = "scale";
      } else if (SCALES[word] && last !== "" && last !== "zero") {
        total += group * SCALES[word];
        group = 0;
        last = "scale";
      } else if ((word === "and" || word === "-" || (word === "," && total && !group)) && last !== "" && last !== "zero" && goesOn(pieces[next + 1], last)) {
        continue;
      } else {
        break;
      }
      len = next - at + 1;
    }
    if (!len) {
      const part = PARTS[pieces[at].low.replace(/s$/, "")];
      return part && part !== 5 && pieces[at].low === "half" ? { value: 1 / part, len: 1 } : null;
    }
    const value = total + group;
    const dash = pieces[at + len] && pieces[at + len].text === "-" ? 1 : 0;
    const part = pieces[at + len + dash] && PARTS[pieces[at + len + dash].low.replace(/s$/, "")];
    if (part && value < part) return { value: value / part, len: len + dash + 1 };
    return decimals(pieces, at, { value, len });
  }

  function goesOn(piece, last) {
    if (!piece) return false;
    const small = SMALL.indexOf(piece.low);
    return last === "ten" ? small > 0 && small < 10 : last === "scale" && (small > 0 || TENS.indexOf(piece.low) > 1);
  }

  function decimals(pieces, at, whole) {
    let next = at + whole.len;
    if (!pieces[next] || pieces[next].low !== "point") return whole;
    let digits = "";
    for (next += 1; pieces[next] && SMALL.indexOf(pieces[next].low) >= 0 && SMALL.indexOf(pieces[next].low) < 10; next += 1) {
      digits += SMALL.indexOf(pieces[next].low);
    }
    return digits ? { value: Number(whole.value + "." + digits), len: next - at } : whole;
  }

  function scaled(pieces, at, found) {
    const scale = pieces[at + found.len] && (SCALES[pieces[at + found.len].low] || (pieces[at + found.len].low === "hundred" ? 100 : 0));
    return scale ? scaled(pieces, at, { value: found.value * scale, len: found.len + 1 }) : found;
  }

  function oneSpelling(word) {
    const many = /^(centi|deci|hecto|kilo|micro|milli|nano)?(.*)$/.exec(word);
    let base = many[2];
    SPELLINGS.some(pair => {
      if (base.indexOf(pair[0]) !== 0 || base.indexOf(pair[1]) === 0) return false;
      const rest = base.slice(pair[0].length);
      if (/(er|gram|gray)$/.test(pair[0]) && !/^(s|d|ed|ing)?$/.test(rest)) return false;
      base = (/er$/.test(pair[0]) && /^[ei]/.test(rest) ? pair[1].slice(0, -1) : pair[1]) + rest;
      return true;
    });
    return (many[1] || "") + base.replace(/^(.{3,})iz(e|es|ed|ing|er|ers|ation|ations)$/, (whole, stem, end) => /^(caps|ma|pr|s|se)$/.test(stem) ? whole : stem + "is" + end);
  }

  function singular(word) {
    return word.length > 3 && /[^siu]s$/.test(word) ? word.slice(0, -1) : word.replace(/'s$|'$/, "");
  }

  // The text as it counts: words and values, in order, as one line.
  function canonical(text) {
    const pieces = lex(plain(text));
    const whole = pieces.length && pieces[0].value === null ? unitAt(pieces, 0) : null;
    if (whole && whole.len === pieces.length) return "unit " + quantity(1, whole.unit);
    const out = [];
    let at = 0;
    while (at < pieces.length) at += token(pieces, at, out);
    return out.length ? out.join(" ") : plain(text).toLowerCase();
  }

  function token(pieces, at, out) {
    const piece = pieces[at];
    const money = /^[£$€]$/.test(piece.text) && pieces[at + 1] ? numberAt(pieces, at + 1) : null;
    if (money) {
      out.push(quantity(money.value, table.symbols.get(piece.text)));
      return money.len + 1;
    }
    const number = numberAt(pieces, at);
    if (number) return number.len + valueToken(pieces, at + number.len, number.value, out);
    if (piece.text === "-" || piece.text === ":") {
      const between = pieces[at - 1] && /\d/.test(pieces[at - 1].text) && pieces[at + 1] && /\d/.test(pieces[at + 1].text);
      if (between) out.push(piece.text === "-" ? "to" : ":");
    } else if (piece.word) {
      const word = singular(oneSpelling(piece.low));
      const place = ORDINALS.indexOf(word);
      if (["a", "an", "the"].indexOf(piece.low) < 0) out.push(place < 0 ? word : "place " + (place + 1));
    } else if (/\d/.test(piece.text) || /[+<=>×÷±≤≥≠≈√%°£$€^#&@→]/.test(piece.text)) {
      out.push(piece.text);
    }
    return 1;
  }

  // What follows a number: an ending (1st), a unit, or nothing. Gives how many pieces it took.
  function valueToken(pieces, at, value, out) {
    const next = pieces[at];
    if (next && next.tight && /^(st|nd|rd|th)$/.test(next.low)) {
      out.push("place " + value);
      return 1;
    }
    const dash = next && next.text === "-" ? 1 : 0;
    const found = next ? unitAt(pieces, at + dash) : null;
    out.push(quantity(value, found ? found.unit : { dimension: {}, size: 1, zero: 0 }));
    return found ? found.len + dash : 0;
  }

  function quantity(value, unit) {
    return "#" + Number(((value + unit.zero) * unit.size).toPrecision(9)) + nameOf(unit);
  }

  function agrees(one, other) {
    return canonical(one) === canonical(other);
  }

  // What the pupil typed for one question: { right, found } where `found` says of each point of the
  // answer whether it was given.
  function mark(question, typed) {
    const points = question.answer;
    const whole = question.accept.concat(points.length === 1 ? points[0].text : []);
    const given = typed.trim() !== "";
    if (given && whole.some(wording => agrees(wording, typed))) {
      return { right: true, found: points.map(() => true) };
    }
    if (points.length === 1 || !given) return { right: false, found: points.map(() => false) };
    const tries = [/[\n;]+/, /[\n;,]+|\s+and\s+|,\s*and\s+/].map(cut => markPoints(question, typed.split(cut)));
    return count(tries[1].found) > count(tries[0].found) || tries[1].right ? tries[1] : tries[0];
  }

  function count(found) { return found.filter(Boolean).length; }

  function markPoints(question, parts) {
    const left = parts.map(part => part.replace(/^\s*(?:\d+[.)]|[-•*])\s+/, "").replace(/^\s*and\s+/i, ""))
      .filter(part => part.trim()).map(canonical);
    const places = question.answer.map(point => {
      const at = left.indexOf(canonical(point.text));
      if (at >= 0) left[at] = null;
      return at;
    });
    const found = places.map(at => at >= 0);
    const inOrder = places.every((at, step) => !step || at > places[step - 1]);
    const extra = left.some(part => part !== null);
    return { right: count(found) === found.length && !extra && (!question.ordered || inOrder), found };
  }

  // Answer side first: the question, or the term that it asks for, counts as right.
  function markQuestion(question, typed) {
    const asked = plain(question.text).replace(/[?.!]+$/, "");
    const term = asked.replace(/^(what (is|are|was|were)( meant by)?|what does|define|name|explain)\s+/i, "").replace(/\s+(mean|called)$/i, "");
    return { right: typed.trim() !== "" && [asked, term].some(wording => agrees(wording, typed)), found: [] };
  }

  return { mark, markQuestion, agrees, canonical, UNITS, SPELLINGS };
})();
if (typeof module === "object" && module.exports) module.exports = Marking;
