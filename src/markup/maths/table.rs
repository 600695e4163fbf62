//! Formulas with their MathML and their reading aloud.

use super::{aloud, mathml, parse};

/// A formula, how it is read aloud, and its MathML within `math`.
const TABLE: &[(&str, &str, &str)] = &[
    ("\\frac{a}{b}", "a over b", "<mfrac><mi>a</mi><mi>b</mi></mfrac>"),
    ("\\frac{840}{56} = 15", "840 over 56 equals 15", "<mfrac><mn>840</mn><mn>56</mn></mfrac><mo>=</mo><mn>15</mn>"),
    ("\\frac{3}{4}", "three quarters", "<mfrac><mn>3</mn><mn>4</mn></mfrac>"),
    (
        "\\frac{a + b}{2c}",
        "the fraction a plus b over 2 c, end of fraction",
        "<mfrac><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mrow><mn>2</mn><mi>c</mi></mrow></mfrac>",
    ),
    (
        "\\frac{\\text{rise in height}}{\\text{horizontal distance}}",
        "rise in height over horizontal distance",
        "<mfrac><mtext>rise in height</mtext><mtext>horizontal distance</mtext></mfrac>",
    ),
    ("x^{2}", "x squared", "<msup><mi>x</mi><mn>2</mn></msup>"),
    ("x^3", "x cubed", "<msup><mi>x</mi><mn>3</mn></msup>"),
    (
        "6.02 \\times 10^{23}",
        "6.02 times 10 to the power 23",
        "<mn>6.02</mn><mo>×</mo><msup><mn>10</mn><mn>23</mn></msup>",
    ),
    ("10^{-3}", "10 to the power minus 3", "<msup><mn>10</mn><mrow><mo form=\"prefix\">−</mo><mn>3</mn></mrow></msup>"),
    (
        "x^{n+1} + 1",
        "x to the power n plus 1, end of power plus 1",
        "<msup><mi>x</mi><mrow><mi>n</mi><mo>+</mo><mn>1</mn></mrow></msup><mo>+</mo><mn>1</mn>",
    ),
    (
        "x_1^2 - x_{\\text{max}}",
        "x sub 1 squared minus x sub max",
        "<msubsup><mi>x</mi><mn>1</mn><mn>2</mn></msubsup><mo>−</mo><msub><mi>x</mi><mtext>max</mtext></msub>",
    ),
    ("\\sqrt{2}", "the square root of 2", "<msqrt><mn>2</mn></msqrt>"),
    (
        "\\sqrt[3]{x + 1}",
        "the cube root of x plus 1, end of root",
        "<mroot><mrow><mi>x</mi><mo>+</mo><mn>1</mn></mrow><mn>3</mn></mroot>",
    ),
    ("\\sqrt[21]x", "the 21st root of x", "<mroot><mi>x</mi><mn>21</mn></mroot>"),
    ("Q = A \\times v", "Q equals A times v", "<mi>Q</mi><mo>=</mo><mi>A</mi><mo>×</mo><mi>v</mi>"),
    ("6 × 0.5 = 3", "6 times 0.5 equals 3", "<mn>6</mn><mo>×</mo><mn>0.5</mn><mo>=</mo><mn>3</mn>"),
    ("1 : 50 000", "1 to 50 000", "<mn>1</mn><mo>:</mo><mn>50\u{202f}000</mn>"),
    (
        "\\text{m}^{3}/\\text{s}",
        "m cubed per s",
        "<msup><mtext>m</mtext><mn>3</mn></msup><mo lspace=\"0em\" rspace=\"0em\">/</mo><mtext>s</mtext>",
    ),
    (
        "9.8\\,\\mathrm{m s^{-2}}",
        "9.8 m s to the power minus 2",
        "<mn>9.8</mn><mspace width=\"0.167em\"/><mrow><mi mathvariant=\"normal\">m</mi><mspace width=\"0.167em\"/>\
         <msup><mi mathvariant=\"normal\">s</mi><mrow><mo form=\"prefix\">−</mo><mn>2</mn></mrow></msup></mrow>",
    ),
    ("5\\,\\mathrm{\\mu m}", "5 μm", "<mn>5</mn><mspace width=\"0.167em\"/><mi>μm</mi>"),
    (
        "\\mathrm{H_2O}",
        "H sub 2 O",
        "<mrow><msub><mi mathvariant=\"normal\">H</mi><mn>2</mn></msub><mi mathvariant=\"normal\">O</mi></mrow>",
    ),
    ("\\mathrm{Ca}^{2+}", "Ca superscript 2 plus", "<msup><mi>Ca</mi><mrow><mn>2</mn><mo>+</mo></mrow></msup>"),
    ("^{14}\\mathrm{C}", "superscript 14 C", "<msup><mrow></mrow><mn>14</mn></msup><mi mathvariant=\"normal\">C</mi>"),
    ("45^\\circ", "45 degrees", "<mn>45</mn><mi>°</mi>"),
    ("51\\degree 30'", "51 degrees 30 prime", "<mn>51</mn><mi>°</mi><mn>30</mn><mi>′</mi>"),
    ("15\\% + 5%", "15 per cent plus 5 per cent", "<mn>15</mn><mi>%</mi><mo>+</mo><mn>5</mn><mi>%</mi>"),
    ("\\pounds 5", "£5", "<mi>£</mi><mn>5</mn>"),
    (
        "\\pi r^2 \\approx 3.14",
        "pi r squared is approximately 3.14",
        "<mi>π</mi><msup><mi>r</mi><mn>2</mn></msup><mo>≈</mo><mn>3.14</mn>",
    ),
    (
        "\\Delta h \\propto t",
        "delta h is proportional to t",
        "<mi mathvariant=\"normal\">Δ</mi><mi>h</mi><mo>∝</mo><mi>t</mi>",
    ),
    (
        "a \\le b \\ne c \\ge d",
        "a is less than or equal to b does not equal c is greater than or equal to d",
        "<mi>a</mi><mo>≤</mo><mi>b</mi><mo>≠</mo><mi>c</mi><mo>≥</mo><mi>d</mi>",
    ),
    ("x \\rightarrow \\infty", "x goes to infinity", "<mi>x</mi><mo>→</mo><mi>∞</mi>"),
    ("6 \\div 2 \\pm 1", "6 divided by 2 plus or minus 1", "<mn>6</mn><mo>÷</mo><mn>2</mn><mo>±</mo><mn>1</mn>"),
    (
        "\\vec{v} = \\overrightarrow{AB}",
        "vector v equals vector A B",
        "<mover accent=\"true\"><mi>v</mi><mo stretchy=\"false\">→</mo></mover><mo>=</mo>\
         <mover><mrow><mi>A</mi><mi>B</mi></mrow><mo stretchy=\"true\">→</mo></mover>",
    ),
    ("\\bar{x}", "x bar", "<mover><mi>x</mi><mo stretchy=\"false\">¯</mo></mover>"),
    (
        "(a + b)^2",
        "open bracket a plus b close bracket squared",
        "<mo form=\"prefix\" stretchy=\"false\">(</mo><mi>a</mi><mo>+</mo><mi>b</mi>\
         <msup><mo form=\"postfix\" stretchy=\"false\">)</mo><mn>2</mn></msup>",
    ),
    (
        "\\left( \\frac{a}{b} \\right]",
        "open bracket a over b close square bracket",
        "<mrow><mo form=\"prefix\" stretchy=\"true\">(</mo><mfrac><mi>a</mi><mi>b</mi></mfrac>\
         <mo form=\"postfix\" stretchy=\"true\">]</mo></mrow>",
    ),
    (
        "\\left|x\\right|",
        "the modulus of x, end of modulus",
        "<mrow><mo form=\"prefix\" stretchy=\"true\">|</mo><mi>x</mi><mo form=\"postfix\" stretchy=\"true\">|</mo></mrow>",
    ),
    (
        "\\left\\{ x \\right.",
        "open curly bracket x",
        "<mrow><mo form=\"prefix\" stretchy=\"true\">{</mo><mi>x</mi></mrow>",
    ),
    (
        "(3, 4)",
        "open bracket 3, 4 close bracket",
        "<mo form=\"prefix\" stretchy=\"false\">(</mo><mn>3</mn><mo>,</mo><mn>4</mn>\
         <mo form=\"postfix\" stretchy=\"false\">)</mo>",
    ),
    (
        "\\sin x + \\cos(y)",
        "sine x plus cosine open bracket y close bracket",
        "<mi>sin</mi><mo>&#x2061;</mo><mspace width=\"0.167em\"/><mi>x</mi><mo>+</mo><mi>cos</mi><mo>&#x2061;</mo>\
         <mo form=\"prefix\" stretchy=\"false\">(</mo><mi>y</mi><mo form=\"postfix\" stretchy=\"false\">)</mo>",
    ),
    (
        "\\sin^{-1} x",
        "inverse sine x",
        "<msup><mi>sin</mi><mrow><mo form=\"prefix\">−</mo><mn>1</mn></mrow></msup><mo>&#x2061;</mo>\
         <mspace width=\"0.167em\"/><mi>x</mi>",
    ),
    (
        "\\log_{10} x",
        "log base 10 of x",
        "<msub><mi>log</mi><mn>10</mn></msub><mo>&#x2061;</mo><mspace width=\"0.167em\"/><mi>x</mi>",
    ),
    (
        "1 - \\frac{6 \\sum d^2}{n^3 - n}",
        "1 minus the fraction 6 the sum of d squared over n cubed minus n, end of fraction",
        "<mn>1</mn><mo>−</mo><mfrac><mrow><mn>6</mn><mo>∑</mo><msup><mi>d</mi><mn>2</mn></msup></mrow>\
         <mrow><msup><mi>n</mi><mn>3</mn></msup><mo>−</mo><mi>n</mi></mrow></mfrac>",
    ),
    (
        "\\sum_{i=1}^{n} i",
        "the sum from i equals 1 to n of i",
        "<msubsup><mo>∑</mo><mrow><mi>i</mi><mo>=</mo><mn>1</mn></mrow><mi>n</mi></msubsup><mi>i</mi>",
    ),
    ("= -3", "equals minus 3", "<mo>=</mo><mo form=\"prefix\">−</mo><mn>3</mn>"),
    (
        "\\text{birth rate} - \\text{death rate}",
        "birth rate minus death rate",
        "<mtext>birth rate</mtext><mo>−</mo><mtext>death rate</mtext>",
    ),
    (
        "x \\text{ if } 5\\;\\text{\\% of } y\\quad z",
        "x if 5 % of y z",
        "<mi>x</mi><mtext>\u{a0}if\u{a0}</mtext><mn>5</mn><mspace width=\"0.278em\"/><mtext>% of\u{a0}</mtext>\
         <mi>y</mi><mspace width=\"1.000em\"/><mi>z</mi>",
    ),
    ("1, 2, \\ldots", "1, 2, and so on", "<mn>1</mn><mo>,</mo><mn>2</mn><mo>,</mo><mi>…</mi>"),
];

#[test]
fn formulas_are_read_aloud() {
    for (written, said, _) in TABLE {
        let row = parse(written).unwrap_or_else(|error| panic!("{written}: {error}"));
        assert_eq!(aloud(&row), *said, "{written}");
    }
}

#[test]
fn formulas_are_shown() {
    for (written, said, shown) in TABLE {
        let row = parse(written).unwrap_or_else(|error| panic!("{written}: {error}"));
        assert_eq!(mathml(&row), format!("<math alttext=\"{said}\">{shown}</math>"), "{written}");
    }
}

/// The pages and sheets that show the same formulas are held against each other outside of this program.
#[test]
fn the_formulas_are_those_that_are_looked_at_elsewhere() {
    let written: String = TABLE.iter().map(|(written, ..)| format!("{written}\n")).collect();
    assert_eq!(written, include_str!("../../../tests/data/formulas.txt"));
}

/// Every sign and function reads, shows and says itself.
#[test]
fn every_sign_is_in_the_subset() {
    for sign in super::signs() {
        for typed in sign.typed.iter().map(|typed| (*typed).to_owned()).chain([sign.sign.to_string()]) {
            if ["{", "}"].contains(&typed.as_str()) {
                continue;
            }
            let row = parse(&typed).unwrap_or_else(|error| panic!("{typed}: {error}"));
            assert!(matches!(&row[..], [super::Term::Sign(read)] if *read == sign), "{typed}");
        }
    }
    for (name, said) in super::functions() {
        let row = parse(&format!("\\{name} x")).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(aloud(&row), format!("{said} x"));
    }
}
