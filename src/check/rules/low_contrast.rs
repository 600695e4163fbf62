//! `low-contrast`: a deck's colour on which its text is hard to read.

use palette::Srgb;

use crate::check::context::Context;
use crate::check::rule::{Rule, Scope};
use crate::finding::{Finding, Level};

pub const RULE: Rule = Rule {
    name: "low-contrast",
    level: Level::Warning,
    summary: "a deck's colour and the text on it have less contrast than 4.5:1",
    why: "Pupils with weak eyes, and everybody in bad light or with a worn printer, cannot read such a heading. 4.5:1 is what WCAG 2.2 asks for (success criterion 1.4.3).",
    wrong: "colours:\n  year-8/rivers: '#7fc7c2'",
    right: "colours:\n  year-8/rivers: '#1f5f5b'",
    waivable: true,
    repairable: false,
    scope: Scope::Department(check),
};

/// WCAG 2.2 (W3C), success criterion 1.4.3 Contrast (Minimum), level AA.
const LEAST: f64 = 4.5;

fn check(context: &Context<'_>, found: &mut Vec<Finding>) {
    let settings = context.settings();
    for (name, colour) in &settings.colours {
        let (Some(band), Some(text)) = (rgb(&colour.band), rgb(&colour.text)) else { continue };
        let contrast = contrast(band, text);
        if contrast >= LEAST {
            continue;
        }
        let (band_is, text_is) = (&colour.band.value, &colour.text.value);
        // Rounded down, so that 4.499 does not read as enough.
        let shown = (contrast * 100.0).floor() / 100.0;
        let message = format!("text in {text_is} on {band_is} has a contrast of {shown:.2}:1, less than {LEAST}:1");
        let help = format!("write `'{}'`, the nearest shade that can be read, or another colour", readable(band, text));
        let mut finding = RULE
            .finding(settings.file.place(colour.band.span), message)
            .help(help)
            .in_field("colours")
            .about(&name.value);
        finding.deck = context.department.deck(&name.value).map(|deck| deck.name.clone());
        found.push(finding);
    }
}

/// The contrast ratio of two colours, from 1 to 21 (WCAG 2.2, definition of contrast ratio).
fn contrast(one: Srgb<f64>, other: Srgb<f64>) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The relative luminance by WCAG's own weights; those of sRGB's exact white point differ in the
/// fourth place, which moves a colour at the limit to the other side.
fn luminance(colour: Srgb<f64>) -> f64 {
    let linear = colour.into_linear();
    0.2126 * linear.red + 0.7152 * linear.green + 0.0722 * linear.blue
}

fn rgb(colour: &str) -> Option<Srgb<f64>> {
    let digits = colour.strip_prefix('#').filter(|digits| digits.len() == 6)?;
    let number = u32::from_str_radix(digits, 16).ok()?;
    let [_, red, green, blue] = number.to_be_bytes();
    Some(Srgb::new(red, green, blue).into_format())
}

/// The shade of `band` nearest to it on which `text` can be read: darker, or lighter where that is nearer.
fn readable(band: Srgb<f64>, text: Srgb<f64>) -> String {
    let towards = |end: f64, step: u32| {
        let mix = |part: f64| part + (end - part) * f64::from(step) / 255.0;
        Srgb::new(mix(band.red), mix(band.green), mix(band.blue)).into_format::<u8>()
    };
    let shades = (1..=255).flat_map(|step| [towards(0.0, step), towards(1.0, step)]);
    let enough = |shade: &Srgb<u8>| contrast(shade.into_format(), text) >= LEAST;
    let shade = shades.into_iter().find(enough).unwrap_or(Srgb::new(0, 0, 0));
    format!("#{:02x}{:02x}{:02x}", shade.red, shade.green, shade.blue)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// W3C, WCAG 2.2, definitions of relative luminance and contrast ratio; rows worked from the formula.
    #[test]
    fn contrast_is_as_published() {
        let mut table = csv::Reader::from_reader(&include_bytes!("../../../tests/data/contrast.csv")[..]);
        let mut rows = 0;
        for row in table.records() {
            let row = row.expect("a row");
            let (foreground, background) = (rgb(&row[0]).expect("a colour"), rgb(&row[1]).expect("a colour"));
            assert_eq!(format!("{:.3}", contrast(foreground, background)), row[2], "{row:?}");
            rows += 1;
        }
        assert_eq!(rows, 7);
    }

    #[test]
    fn the_shade_that_is_proposed_can_be_read() {
        for (band, text) in [
            ("#7fc7c2", "#ffffff"),
            ("#777777", "#ffffff"),
            ("#222222", "#000000"),
            ("#808080", "#808080"),
            ("#ffffff", "#ffffff"),
        ] {
            let (band, text) = (rgb(band).expect("a colour"), rgb(text).expect("a colour"));
            assert!(contrast(band, text) < LEAST);
            let shade = rgb(&readable(band, text)).expect("a colour");
            assert!(contrast(shade, text) >= LEAST, "{shade:?} {text:?}");
        }
    }
}
