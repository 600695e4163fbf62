//! Whether a drawing (SVG) is a drawing alone: no scripts, no pages, nothing from outside.
//!
//! What may hold a script or name something outside: SVG 2 (W3C), sections on scripting, linking and
//! `foreignObject`; CSS Values (W3C) on `url()`; XML 1.0 (W3C) on document types and entities.

use std::collections::BTreeSet;

use roxmltree::{Document, Node, ParsingOptions};

use super::Fault;

const SVG: &str = "http://www.w3.org/2000/svg";
const XHTML: &str = "http://www.w3.org/1999/xhtml";
const XML: &str = "http://www.w3.org/XML/1998/namespace";

/// More elements than any drawing on a card has.
const MAX_NODES: u32 = 200_000;

/// After so many faults nobody needs more of them.
const MAX_FAULTS: usize = 20;

/// What is wrong with the drawing, each thing once.
pub fn faults(bytes: &[u8]) -> Vec<Fault> {
    let Ok(text) = std::str::from_utf8(bytes) else { return vec![Fault::Unreadable] };
    let text = text.trim_start_matches('\u{feff}');
    if let Some(at) = doctype(text) {
        return vec![Fault::Holds {
            what: "a document type (`<!DOCTYPE`)",
            line: text[..at].matches('\n').count() + 1,
        }];
    }
    let options = ParsingOptions { allow_dtd: false, nodes_limit: MAX_NODES, entity_resolver: None };
    let Ok(document) = Document::parse_with_options(text, options) else { return vec![Fault::Unreadable] };
    let root = document.root_element().tag_name();
    if root.name() != "svg" || root.namespace() != Some(SVG) {
        return vec![Fault::NoPicture];
    }
    let mut found = Found { document: &document, faults: Vec::new(), seen: BTreeSet::new() };
    document.descendants().for_each(|node| found.look_at(node));
    found.faults
}

fn doctype(text: &str) -> Option<usize> {
    let marks = text.match_indices("<!").map(|(at, _)| at);
    marks.into_iter().find(|at| text[at + 2..].get(..7).is_some_and(|word| word.eq_ignore_ascii_case("doctype")))
}

/// The faults so far.
struct Found<'d, 'input> {
    document: &'d Document<'input>,
    faults: Vec<Fault>,
    seen: BTreeSet<String>,
}

impl<'input> Found<'_, 'input> {
    fn look_at(&mut self, node: Node<'_, 'input>) {
        if node.is_pi() && node.pi().is_some_and(|pi| pi.target == "xml-stylesheet") {
            return self.holds("a link to a style sheet", node);
        }
        if !node.is_element() {
            return;
        }
        let name = node.tag_name().name().to_ascii_lowercase();
        match name.as_str() {
            "script" | "handler" | "listener" => self.holds("a script", node),
            "foreignobject" => self.holds("a part that is not a drawing (`foreignObject`)", node),
            "iframe" | "object" | "embed" | "audio" | "video" => self.holds("a page or a recording", node),
            "style" => self.style(&text_of(node), node),
            _ if node.tag_name().namespace() == Some(XHTML) => self.holds("a part of a web page", node),
            _ => {}
        }
        for attribute in node.attributes() {
            self.attribute(&attribute, node);
        }
    }

    fn attribute(&mut self, attribute: &roxmltree::Attribute<'_, 'input>, node: Node<'_, 'input>) {
        let name = attribute.name().to_ascii_lowercase();
        let value = attribute.value();
        if name.starts_with("on") && attribute.namespace().is_none() {
            return self.holds("a script that runs on its own", node);
        }
        if name == "base" && attribute.namespace() == Some(XML) {
            return self.outside(value, node);
        }
        if name == "attributename" {
            let changed = value.trim().to_ascii_lowercase();
            if changed.starts_with("on") || changed.ends_with("href") {
                self.holds("an animation that changes where a link goes", node);
            }
        }
        if is_code(value) {
            return self.holds("a script in a link", node);
        }
        if matches!(name.as_str(), "href" | "src") && !is_inside(value) {
            return self.outside(value, node);
        }
        self.style(value, node);
    }

    /// Style sheets and whatever else may hold `url(…)`.
    fn style(&mut self, written: &str, node: Node<'_, 'input>) {
        if !written.contains(['(', '@', '\\']) {
            return;
        }
        let read = unescaped(written);
        let lower = read.to_ascii_lowercase();
        if lower.contains("@import") {
            self.holds("a link to a style sheet", node);
        }
        for call in ["url(", "src(", "image(", "image-set("] {
            for (at, _) in lower.match_indices(call) {
                let target = read[at + call.len()..].split(')').next().unwrap_or_default();
                let target = target.trim().trim_matches(['"', '\'']);
                if !is_inside(target) {
                    self.outside(target, node);
                }
            }
        }
    }

    fn holds(&mut self, what: &'static str, node: Node<'_, 'input>) {
        if self.seen.len() < MAX_FAULTS && self.seen.insert(what.to_owned()) {
            let line = self.line_of(node);
            self.faults.push(Fault::Holds { what, line });
        }
    }

    fn outside(&mut self, target: &str, node: Node<'_, 'input>) {
        let target: String = target.trim().chars().filter(|c| !c.is_control()).take(60).collect();
        if self.seen.len() < MAX_FAULTS && self.seen.insert(format!("→ {target}")) {
            let line = self.line_of(node);
            self.faults.push(Fault::Outside { target, line });
        }
    }

    fn line_of(&self, node: Node<'_, 'input>) -> usize {
        self.document.text_pos_at(node.range().start).row as usize
    }
}

fn text_of(node: Node<'_, '_>) -> String {
    node.descendants().filter(Node::is_text).filter_map(|text| text.text()).collect()
}

/// Whether it points to a part of the drawing itself, or to a picture that it carries.
fn is_inside(target: &str) -> bool {
    let target = squeezed(target);
    let carried = ["data:image/png", "data:image/jpeg", "data:image/gif", "data:image/webp"];
    target.starts_with('#') || carried.iter().any(|kind| target.starts_with(kind))
}

/// Whether it is a link that runs a script.
fn is_code(value: &str) -> bool {
    let value = squeezed(value);
    ["javascript:", "vbscript:", "data:text/"]
        .iter()
        .any(|scheme| value.starts_with(scheme) || value.contains(&format!(";{scheme}")))
}

/// As readers of links take it: without blanks and control characters, in lower case.
fn squeezed(target: &str) -> String {
    target.chars().filter(|c| !c.is_whitespace() && !c.is_control()).collect::<String>().to_ascii_lowercase()
}

/// A style with its escapes (`\75 rl(`) written out, as readers of style sheets take it.
fn unescaped(style: &str) -> String {
    let mut out = String::with_capacity(style.len());
    let mut chars = style.chars().peekable();
    while let Some(c) = chars.next() {
        if c != '\\' {
            out.push(c);
            continue;
        }
        let mut digits = String::new();
        while let Some(digit) = chars.next_if(|c| digits.len() < 6 && c.is_ascii_hexdigit()) {
            digits.push(digit);
        }
        if let Ok(code) = u32::from_str_radix(&digits, 16) {
            out.push(char::from_u32(code).unwrap_or('\u{fffd}'));
            chars.next_if(|c| c.is_whitespace());
        } else {
            out.extend(chars.next());
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(inside: &str) -> Vec<Fault> {
        faults(format!("<svg xmlns='{SVG}' xmlns:xlink='http://www.w3.org/1999/xlink'>\n{inside}</svg>").as_bytes())
    }

    #[test]
    fn a_drawing_alone_is_safe() {
        for inside in [
            "<path d='M0 0' fill='url(#g)' style='stroke: url( \"#h\" )'/><use href='#a'/><use xlink:href=' #a'/>",
            "<style>.a { fill: red; font-family: \"A \\26 B\" }</style>",
            "<image href='data:image/png;base64,AAAA'/>",
            "<text>on https://example.invalid url</text><!-- <script/> -->",
        ] {
            assert_eq!(of(inside), [], "{inside}");
        }
    }

    #[test]
    fn scripts_are_found_in_every_guise() {
        for inside in [
            "<script>1</script>",
            "<g><SCRIPT/></g>",
            "<g onload='x()'/>",
            "<g ONCLICK='x()'/>",
            "<foreignObject/>",
            "<p xmlns='http://www.w3.org/1999/xhtml'/>",
            "<a href='java\tscript:x()'/>",
            "<a xlink:href=' JavaScript:x()'/>",
            "<set attributeName='onload' to='x()'/>",
            "<animate attributeName='xlink:href' values='a;b'/>",
            "<style>@import '#x'</style>",
            "<style><![CDATA[@\\69mport 'x']]></style>",
        ] {
            let found = of(inside);
            assert!(matches!(found[..], [Fault::Holds { line: 2, .. }]), "{inside} {found:?}");
        }
    }

    #[test]
    fn what_lies_outside_is_found() {
        for inside in [
            "<image href='https://example.invalid/a.png'/>",
            "<use xlink:href='other.svg#a'/>",
            "<image href=''/>",
            "<g style='fill: url(//example.invalid/a)'/>",
            "<g fill='url(\"a.svg#b\")'/>",
            "<g style='fill: \\75 rl(a.svg)'/>",
            "<style>a { src: URL( a.woff ) }</style>",
            "<style>a { background: image-set('a.png' 1x) }</style>",
            "<image href='data:image/svg+xml,x'/>",
            "<g xml:base='https://example.invalid/'/>",
        ] {
            let found = of(inside);
            assert!(matches!(found[..], [Fault::Outside { line: 2, .. }]), "{inside} {found:?}");
        }
    }

    #[test]
    fn document_types_and_style_sheet_links_are_found() {
        for (text, line) in [
            ("<!DOCTYPE svg><svg xmlns='http://www.w3.org/2000/svg'/>", 1),
            (
                "<?xml version='1.0'?>\n<!doctype svg [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>\n<svg xmlns='http://www.w3.org/2000/svg'>&x;</svg>",
                2,
            ),
            ("<?xml-stylesheet href='a.css'?>\n<svg xmlns='http://www.w3.org/2000/svg'/>", 1),
        ] {
            let found = faults(text.as_bytes());
            assert!(matches!(found[..], [Fault::Holds { line: at, .. }] if at == line), "{text} {found:?}");
        }
    }

    #[test]
    fn what_is_no_drawing_is_no_picture() {
        assert_eq!(faults(b"<html/>"), [Fault::NoPicture]);
        assert_eq!(faults(b"<svg/>"), [Fault::NoPicture]);
        for bytes in
            [&b""[..], b"GIF89a", b"\xff\xfe<\0s\0", b"<svg xmlns='http://www.w3.org/2000/svg'>", b"<svg>&x;</svg>"]
        {
            assert_eq!(faults(bytes), [Fault::Unreadable]);
        }
    }

    #[test]
    fn a_deep_drawing_ends_the_reading_not_the_program() {
        let deep = format!("<svg xmlns='{SVG}'>{}", "<g>".repeat(1_000_000));
        assert_eq!(faults(deep.as_bytes()), [Fault::Unreadable]);
        let deep = 150_000;
        let deep = format!("<svg xmlns='{SVG}'>{}{}</svg>", "<g>".repeat(deep), "</g>".repeat(deep));
        assert_eq!(faults(deep.as_bytes()), []);
    }
}
