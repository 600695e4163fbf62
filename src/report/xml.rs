//! Writing XML into memory: every escape in its place, and no character that XML 1.0 cannot hold.

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use super::words::shown;

/// Attributes with their values.
pub type Attribute = (&'static str, String);

/// A document in the making. Memory takes whatever is written, so nothing here fails.
pub struct Xml {
    writer: Writer<Vec<u8>>,
}

impl Xml {
    /// A new one in UTF-8, two blanks of indentation.
    pub fn new() -> Self {
        let mut xml = Self { writer: Writer::new_with_indent(Vec::new(), b' ', 2) };
        xml.put(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        xml
    }

    /// The document, with a last line end.
    pub fn finish(self) -> String {
        String::from_utf8_lossy(&self.writer.into_inner()).into_owned() + "\n"
    }

    /// Begins an element.
    pub fn open(&mut self, name: &str, attributes: impl IntoIterator<Item = Attribute>) {
        self.put(Event::Start(start(name, attributes)));
    }

    /// Ends it.
    pub fn close(&mut self, name: &str) {
        self.put(Event::End(BytesEnd::new(name)));
    }

    /// An element with nothing in it.
    pub fn empty(&mut self, name: &str, attributes: impl IntoIterator<Item = Attribute>) {
        self.put(Event::Empty(start(name, attributes)));
    }

    /// An element with a text, literal.
    pub fn text(&mut self, name: &str, attributes: impl IntoIterator<Item = Attribute>, text: &str) {
        self.open(name, attributes);
        self.put(Event::Text(BytesText::new(&shown(text))));
        self.close(name);
    }

    fn put(&mut self, event: Event<'_>) {
        _ = self.writer.write_event(event);
    }
}

fn start<'n>(name: &'n str, attributes: impl IntoIterator<Item = Attribute>) -> BytesStart<'n> {
    let mut start = BytesStart::new(name);
    for (key, value) in attributes {
        start.push_attribute((key, shown(&value).as_str()));
    }
    start
}
