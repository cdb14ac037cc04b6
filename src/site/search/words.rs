//! Words of HTML on their way into a text.

/// What a byte is to a reader of HTML.
#[derive(Clone, Copy, PartialEq)]
enum Role {
    /// Part of a word.
    Letter,
    Blank,
    /// Where a tag begins.
    Tag,
    /// Where a letter begins that is written by its name.
    Entity,
    /// Part of a letter beyond ASCII, or of a blank.
    Wide,
}

/// The role of every byte: looked up for each letter of a course.
const ROLES: [Role; 256] = {
    let mut roles = [Role::Letter; 256];
    let mut byte = 0;
    while byte < roles.len() {
        roles[byte] = match byte as u8 {
            b' ' | b'\t'..=b'\r' => Role::Blank,
            b'<' => Role::Tag,
            b'&' => Role::Entity,
            0x80.. => Role::Wide,
            _ => Role::Letter,
        };
        byte += 1;
    }
    roles
};

fn role_at(bytes: &[u8], at: usize) -> Option<Role> {
    bytes.get(at).map(|byte| ROLES[usize::from(*byte)])
}

/// How many of eight bytes, from the lowest up, are letters of ASCII or single spaces in front of one.
fn plain_at_front(eight: u64) -> usize {
    const ONES: u64 = u64::MAX / 255;
    const HIGH: u64 = ONES << 7;
    // Without its highest bit a byte can be added to, and that bit says whether the sum reached it.
    let low = eight & !HIGH;
    let is_other = |byte: u8| (low ^ (ONES * u64::from(byte))) + !HIGH;
    let above_space = low + ONES * (0x7f - u64::from(b' '));
    let letters = above_space & is_other(b'<') & is_other(b'&') & !eight & HIGH;
    let spaces = !is_other(b' ') & !eight & HIGH;
    let others = !(letters | (spaces & (letters >> 8))) & HIGH;
    (others.trailing_zeros() / 8) as usize
}

/// Words on their way into a text, with one blank between them however the HTML is laid out. Once the text holds enough
/// letters it takes no more.
pub(super) struct Words<'t> {
    text: &'t mut String,
    /// Whether something parts the next word from those before.
    pub(super) blank: bool,
    /// Letters that are still wanted.
    pub(super) room: usize,
}

impl<'t> Words<'t> {
    pub(super) fn into(text: &'t mut String, room: usize) -> Self {
        Self { text, blank: false, room }
    }

    /// Reads from a place up to a tag, or until it is enough, and says where that is.
    pub(super) fn read(&mut self, html: &str, mut at: usize) -> usize {
        let bytes = html.as_bytes();
        while self.room > 0
            && let Some(role) = role_at(bytes, at)
        {
            match role {
                Role::Tag => break,
                Role::Letter => at = self.words(html, at),
                Role::Blank => {
                    self.blank = true;
                    at += 1;
                }
                Role::Entity => {
                    let (letter, length) = entity(&html[at..]);
                    self.letter(letter);
                    at += length;
                }
                Role::Wide => match html[at..].chars().next() {
                    Some('↑') => at = self.arrows(html, at),
                    Some(letter) if letter.is_whitespace() => {
                        self.blank = true;
                        at += letter.len_utf8();
                    }
                    _ => at = self.words(html, at),
                },
            }
        }
        at
    }

    /// Takes words that have single spaces between them, all in one go. The first one begins here.
    fn words(&mut self, html: &str, start: usize) -> usize {
        let bytes = html.as_bytes();
        self.part();
        // Bytes that make no letter of their own.
        let (mut at, mut more) = (start, 0);
        loop {
            if at - start - more + 8 <= self.room
                && let Some(eight) = bytes[at..].first_chunk()
            {
                let plain = plain_at_front(u64::from_le_bytes(*eight));
                at += plain;
                if plain == 8 {
                    continue;
                }
            }
            match role_at(bytes, at) {
                Some(Role::Letter) => at += 1,
                Some(Role::Wide) => match html[at..].chars().next() {
                    Some(letter) if letter != '↑' && !letter.is_whitespace() => {
                        at += letter.len_utf8();
                        more += letter.len_utf8() - 1;
                    }
                    _ => break,
                },
                Some(Role::Blank)
                    if bytes[at] == b' '
                        && role_at(bytes, at + 1) == Some(Role::Letter)
                        && at - start - more < self.room =>
                {
                    at += 2;
                }
                _ => break,
            }
        }
        self.text.push_str(&html[start..at]);
        self.room = self.room.saturating_sub(at - start - more);
        at
    }

    /// Takes arrows. Those before a tag are the link back from a note, which is not part of its text.
    fn arrows(&mut self, html: &str, start: usize) -> usize {
        let rest = html[start..].trim_start_matches('↑');
        let at = html.len() - rest.len();
        if !rest.is_empty() && !rest.starts_with('<') {
            html[start..at].chars().for_each(|arrow| self.letter(arrow));
        }
        at
    }

    fn letter(&mut self, letter: char) {
        if letter.is_whitespace() {
            self.blank = true;
        } else {
            self.part();
            self.text.push(letter);
            self.room = self.room.saturating_sub(1);
        }
    }

    /// The blank in front of a word.
    fn part(&mut self) {
        if std::mem::take(&mut self.blank) && !self.text.is_empty() {
            self.text.push(' ');
            self.room -= 1;
        }
    }
}

/// The letter that an entity stands for, and the bytes of its name; a sign that begins none stands for itself.
fn entity(text: &str) -> (char, usize) {
    const NAMED: [(&str, char); 6] =
        [("&amp;", '&'), ("&lt;", '<'), ("&gt;", '>'), ("&quot;", '"'), ("&#39;", '\''), ("&nbsp;", '\u{a0}')];
    let named = NAMED.iter().find(|(name, _)| text.starts_with(name));
    named.map_or(('&', 1), |(name, letter)| (*letter, name.len()))
}
