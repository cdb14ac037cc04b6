//! Where things are in the bytes of a table: its head, its lines and cells, a quotation mark that is never closed.

/// How many bytes come before the head, and what is between cells. Some spreadsheets say it in a line of its own,
/// `sep=;`; rows of empty cells are passed over.
pub(super) fn before_head(bytes: &[u8]) -> (usize, u8) {
    let (mut at, mut said) = (0, None);
    for line in bytes.split_inclusive(|byte| matches!(byte, b'\n' | b'\r')) {
        let text = line.trim_ascii();
        match text {
            [s, e, p, b'=', between] if at == 0 && [s, e, p].map(u8::to_ascii_lowercase) == *b"sep" => {
                said = Some(*between)
            }
            _ if text.iter().all(|byte| matches!(byte, b',' | b';' | b'\t' | b' ' | b'"')) => {}
            _ => {
                let count = |delimiter: &u8| line.iter().filter(|byte| *byte == delimiter).count();
                let most = [b';', b'\t', b','].into_iter().max_by_key(count).unwrap_or(b',');
                return (at, said.unwrap_or(most));
            }
        }
        at += line.len();
    }
    (bytes.len(), b',')
}

/// The place of a quotation mark that opens a cell and is never closed: everything after it is that cell.
pub(super) fn open_quote(bytes: &[u8], delimiter: u8) -> Option<usize> {
    let (mut begins, mut open) = (true, None);
    let mut places = bytes.iter().enumerate().peekable();
    while let Some((place, byte)) = places.next() {
        if open.is_some() {
            // A mark that is doubled is one in the text.
            if *byte == b'"' && places.next_if(|(_, next)| **next == b'"').is_none() {
                open = None;
            }
        } else if begins && *byte == b'"' {
            open = Some(place);
        }
        begins = open.is_none() && (*byte == delimiter || *byte == b'\n' || *byte == b'\r');
    }
    open
}

/// The line and the column, counted from 0, that follow these bytes of a table.
pub(super) fn cell_at(before: &[u8], delimiter: u8) -> (u64, usize) {
    let (mut column, mut quoted) = (0, false);
    for byte in before {
        match byte {
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => column = 0,
            other if *other == delimiter && !quoted => column += 1,
            _ => {}
        }
    }
    (1 + line_ends(before), column)
}

/// How many lines end in these bytes: in a line feed, or a carriage return alone.
pub(super) fn line_ends(bytes: &[u8]) -> u64 {
    let feeds = bytes.iter().filter(|byte| **byte == b'\n').count();
    let pairs = bytes.windows(2).filter(|pair| pair == b"\r\n").count();
    (feeds + bytes.iter().filter(|byte| **byte == b'\r').count() - pairs) as u64
}

/// Lines counted up to a place in a table. The reader's own count is one short after a carriage return.
pub(super) struct Lines<'a> {
    pub(super) bytes: &'a [u8],
    pub(super) at: usize,
    pub(super) line: u64,
}

impl Lines<'_> {
    /// The line that a record begins in; records come in order.
    pub(super) fn of(&mut self, record: &csv::StringRecord) -> u64 {
        let start = record.position().map_or(0, |place| usize::try_from(place.byte()).unwrap_or(usize::MAX));
        let start = start.clamp(self.at, self.bytes.len());
        let blank = self.bytes[start..].iter().take_while(|byte| byte.is_ascii_whitespace()).count();
        let passed = &self.bytes[self.at..start + blank];
        self.line += line_ends(passed);
        self.at = start + blank;
        self.line
    }
}
