//! Numbers and texts as bytes, and back.

/// Bytes that are added to.
#[derive(Debug, Default)]
pub struct Writer(pub Vec<u8>);

impl Writer {
    pub fn number(&mut self, number: u32) {
        self.0.extend(number.to_le_bytes());
    }

    pub fn long(&mut self, number: u64) {
        self.0.extend(number.to_le_bytes());
    }

    pub fn text(&mut self, text: &str) {
        self.number(text.len() as u32);
        self.0.extend(text.as_bytes());
    }

    pub fn texts(&mut self, texts: &[String]) {
        self.number(texts.len() as u32);
        texts.iter().for_each(|text| self.text(text));
    }

    pub fn longs(&mut self, numbers: &[u64]) {
        self.number(numbers.len() as u32);
        numbers.iter().for_each(|number| self.long(*number));
    }
}

/// Bytes that are read from the front; nothing where they end too soon.
#[derive(Debug)]
pub struct Reader<'b>(pub &'b [u8]);

impl<'b> Reader<'b> {
    pub fn number(&mut self) -> Option<u32> {
        let (number, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(u32::from_le_bytes(*number))
    }

    pub fn long(&mut self) -> Option<u64> {
        let (number, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(u64::from_le_bytes(*number))
    }

    pub fn text(&mut self) -> Option<&'b str> {
        let len = self.number()? as usize;
        let (text, rest) = self.0.split_at_checked(len)?;
        self.0 = rest;
        std::str::from_utf8(text).ok()
    }

    pub fn texts(&mut self) -> Option<Vec<String>> {
        let count = self.number()?;
        (0..count).map(|_| self.text().map(str::to_owned)).collect()
    }

    pub fn longs(&mut self) -> Option<Vec<u64>> {
        let count = self.number()?;
        (0..count).map(|_| self.long()).collect()
    }
}
