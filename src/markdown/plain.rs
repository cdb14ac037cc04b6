//! Which texts are letters and nothing else: they are shown as they are, and nothing is looked for in them.

/// How many bytes are asked at a time; most texts are a few words between two signs.
const AT_ONCE: usize = size_of::<u64>();

/// Whether a byte may be more than a letter: a sign of Markdown, of HTML or of what is looked for in plain text, or part
/// of a letter beyond ASCII.
const fn is_sign(byte: u8) -> bool {
    // `[`, `\`, `]`, `^`, `_` and `{`, `|`, `}`, `~` are the same but for the bit that makes a letter small.
    let bracket = byte | 0x20 >= b'{';
    let quote = matches!(byte, b'"'..=b'*');
    bracket || quote || matches!(byte, b':'..=b'>') || byte == b'`'
}

const SIGNS: [bool; 256] = {
    let mut signs = [false; 256];
    let mut byte = 0;
    while byte < 256 {
        signs[byte] = is_sign(byte as u8);
        byte += 1;
    }
    signs
};

/// The same for some bytes side by side, each in its own part of a number.
fn any_is_sign(bytes: [u8; AT_ONCE]) -> bool {
    const fn each(byte: u8) -> u64 {
        u64::from_ne_bytes([byte; AT_ONCE])
    }
    let bytes = u64::from_ne_bytes(bytes);
    let seven = bytes & each(0x7f);
    // The highest bit of each part: whether its seven bits are at least as much as a byte.
    let from = |byte: u8, seven: u64| seven + each(0x80 - byte);
    let within = |first: u8, last: u8| from(first, seven) & !from(last + 1, seven);
    let bracket = from(b'{', seven | each(0x20));
    let found = bytes | bracket | within(b'"', b'*') | within(b':', b'>') | within(b'`', b'`');
    found & each(0x80) != 0
}

/// Whether one of some bytes may be more than a letter; every letter of a course is asked.
pub(super) fn has_sign(bytes: &[u8]) -> bool {
    match bytes.last_chunk() {
        None => bytes.iter().any(|byte| SIGNS[usize::from(*byte)]),
        Some(last) => any_is_sign(*last) || bytes.as_chunks().0.iter().any(|part| any_is_sign(*part)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_side_by_side_are_asked_like_one() {
        for byte in 0..=255 {
            for at in 0..AT_ONCE {
                let mut bytes = *b"/?@ az0,";
                bytes[at] = byte;
                assert_eq!(any_is_sign(bytes), is_sign(byte), "{byte} at {at}");
            }
        }
    }

    #[test]
    fn a_sign_is_seen_wherever_it_is() {
        let plain = b"A worn nozzle limits, 12.5 gal/min! What reaches the turf? 100 + 1 - 2";
        for sign in b"[]{}#*|:`'\"&<>^\\~".iter().copied().chain(0x80..=0xff) {
            for length in 1..plain.len() {
                assert!(!has_sign(&plain[..length]));
                for at in 0..length {
                    let mut bytes = plain[..length].to_vec();
                    bytes[at] = sign;
                    assert!(has_sign(&bytes), "{sign} at {at} of {length}");
                }
            }
        }
    }
}
